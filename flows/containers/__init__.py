"""OPEN, POUR, MIX, DISCARD: the life of jugs, bottles, baths and strip bottles (S5, S6)."""

from flows.containers.activate import ACTIVATE
from flows.containers.jug import JUG, JUG_LOT
from flows.containers.mixed import MIXED
from flows.containers.pour import FILL
from flows.containers.single_use import MIX_TO_WIPE, MIXED_TO_WIPE, SINGLE_USE, SINGLE_USE_MIXED
from flows.containers.strips import STRIPS, STRIPS_CHECK, STRIPS_LOT
from flows.containers.topped import TOPPED
from flows.containers.topped_unasked import WHICH
from flows.parts.step import flow

CONTAINERS = flow(
    "containers",
    JUG,
    JUG_LOT,
    ACTIVATE,
    FILL,
    TOPPED,
    WHICH,
    SINGLE_USE,
    SINGLE_USE_MIXED,
    MIX_TO_WIPE,
    MIXED_TO_WIPE,
    STRIPS,
    STRIPS_LOT,
    STRIPS_CHECK,
    MIXED,
)

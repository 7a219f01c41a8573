"""The cycle flow: the table of its steps, in order; read this first.

Somebody who is coached is asked every step; somebody on brief texts only those that have a brief
text, and each of these states what was skipped before it (`asking.COVERED`). The order is
partial: while the probe is in the detergent, `bath` leads through strip test, pour and opening
a jug, where they are needed, and comes back. So does the wipe with disinfectant, before it.
"""

from flows.cycle.bath import BATH, BATH_TESTED
from flows.cycle.begin import CAUTIONS, CODES, INSPECT
from flows.cycle.clean import (
    AWAIT_DETERGENT,
    CONTAINER,
    DRY,
    MIX,
    RINSE,
    UNDER,
)
from flows.cycle.disinfect import BACK_IN, IMMERSE, WARM
from flows.cycle.finish import COVER, FINAL_DRY, FINAL_INSPECT, FINAL_RINSE, SIGN_OFF
from flows.cycle.inspect_after import INSPECT_AFTER
from flows.cycle.interrupt import STAYED, TAKE_CAUTIONS
from flows.cycle.soaking import SOAKING
from flows.cycle.unasked import IN_AGAIN
from flows.cycle.wipes import WIPE_DETERGENT, WIPE_DISINFECTANT, WIPE_RINSE, WIPE_WATER
from flows.parts.step import flow

CYCLE = flow(
    "cycle",
    CODES,
    CAUTIONS,
    INSPECT,
    WIPE_DETERGENT,
    WIPE_WATER,
    WIPE_DISINFECTANT,
    WIPE_RINSE,
    MIX,
    UNDER,
    BATH,
    BATH_TESTED,
    AWAIT_DETERGENT,
    RINSE,
    DRY,
    CONTAINER,
    IMMERSE,
    WARM,
    BACK_IN,
    SOAKING,
    INSPECT_AFTER,
    FINAL_RINSE,
    FINAL_DRY,
    FINAL_INSPECT,
    COVER,
    SIGN_OFF,
    TAKE_CAUTIONS,
    STAYED,
    IN_AGAIN,
)

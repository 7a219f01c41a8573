"""The walks that the proofs look at: each is taken once."""

from datetime import timedelta
from functools import cache

import pytest

from flows.parts.clinic import Level
from flows.protocols.model import Selection
from flows.walk import Setting, Walk, walk
from tests.conversation.evidence import contradictions

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")
PEROXIDE = Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic")

SETTINGS = {
    "coached": (Setting(), 1),
    "brief": (Setting(level=Level.BRIEF), 1),
    "all ends soon": (Setting(lasts=timedelta(minutes=30)), 1),
    "all ends soon, brief": (Setting(level=Level.BRIEF, lasts=timedelta(minutes=30)), 1),
    "bare": (Setting(level=Level.BRIEF, stocked=False), 1),
    "two devices": (Setting(level=Level.BRIEF, devices=2), 0),
    "shared phone": (Setting(level=Level.BRIEF, shared=True), 1),
    "a strip read late": (Setting(level=Level.BRIEF, selection=PEROXIDE), 1),
    "no strip": (Setting(level=Level.BRIEF, stocked=False, selection=CHLORINE), 1),
    "to be activated": (Setting(level=Level.BRIEF, stocked=False, selection=GLUTARAL), 1),
    "may not release": (Setting(level=Level.BRIEF, may_release=False), 1),
}
"""What each clinic is like, and how far the walk strays from the work going as it should."""


@cache
def walked(name: str) -> Walk:
    setting, strays = SETTINGS[name]
    return walk(setting.opened(), strays, contradictions)


in_every_clinic = pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.xdist_group(name)) for name in SETTINGS]
)
"""Where tests run side by side, all that look at one walk run in one process."""

"""What the morning text cannot count, as nobody has said what it holds when it is new."""

from datetime import datetime

from flows.calculations.at_hand import by_product
from flows.calculations.calendar import local_day
from flows.calculations.usage import strips_as_written, volume_as_written
from flows.parts.clinic import Kind
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.strip import is_sound, is_usable

MONDAY = 0
"""Once a week is often enough. Source: common practice, none published."""


def uncounted(situation: Situation, now: datetime) -> Text | None:
    """Once a week, for whoever can say it: of what runs out nobody is warned. None for nothing."""
    if local_day(now, situation.zone).weekday() != MONDAY:
        return None
    strips, jugs = _strips(situation, now), _jugs(situation, now)
    if strips and jugs:
        return say(
            "uncounted.both",
            "I cannot warn before strips or jugs run out: what does a new one hold? At the desk: "
            "choose site strips_in_bottle 50; choose site jug_volume 5L.",
        )
    if strips:
        return say(
            "uncounted.strips",
            "I cannot warn before strips run out: how many does a new bottle hold? At the desk: "
            "choose site strips_in_bottle 50.",
        )
    if jugs:
        return say(
            "uncounted.jugs",
            "I cannot warn before a jug runs out: what does a new one hold? By text: {open} 5 L. "
            "At the desk: choose site jug_volume 5L.",
        )
    return None


def _strips(situation: Situation, now: datetime) -> bool:
    known = strips_as_written(situation.site.way("strips_in_bottle"))
    here = situation.clinic.strips.values()
    return not known and any(
        is_usable(each, now) and situation.uses(each.product) for each in here
    )


def _jugs(situation: Situation, now: datetime) -> bool:
    """S4: what is mixed for each soak is not counted in baths."""
    known = volume_as_written(situation.site.way("jug_volume"))
    used = [each.protocol.chemistry for each in by_product(situation.clinic, situation.today)]
    poured = {each.name for each in used if not each.is_single_use}
    return not known and any(
        each.kind is Kind.JUG
        and not each.volume_ml
        and each.product in poured
        and is_sound(each, now)
        for each in situation.clinic.containers.values()
    )

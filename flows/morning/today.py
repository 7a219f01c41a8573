"""What a clinic has today: what is in date, what a strip must judge, what ends with the day."""

from datetime import datetime

from flows.calculations.calendar import end_of_day, local_day
from flows.parts.clinic import Container, Fitness, Kind, StripBottle
from flows.parts.listed import listed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.fields import STRIP_POLICIES
from flows.rules.release import is_ready
from flows.rules.strip import BATH_BEFORE_EACH_USE, is_sound, is_usable, may_be_tested

BOTTLE_DAILY = STRIP_POLICIES[1]


def today(situation: Situation, now: datetime) -> Text:
    """What is good, what must be tested before use, what ends with the day, what is ready."""
    containers = situation.clinic.containers.values()
    good = [each for each in containers if each.kind is not Kind.JUG and is_sound(each, now)]
    return say(
        "morning",
        "Good morning. In date: {tags}. Strip before use: {tested}. Ends today: {ending}. Ready: "
        "{devices}. More: {state}.",
        tags=listed([each.tag for each in good]),
        tested=listed(_to_test(situation, now)),
        ending=listed(_ending(situation, now)),
        devices=listed(
            [each.label for each in situation.clinic.devices.values() if is_ready(each, now)]
        ),
    )


def _to_test(situation: Situation, now: datetime) -> list[str]:
    """S4: by policy each bath before each use, or the bottle daily; and whatever is on hold."""
    return [
        each.tag
        for each in situation.clinic.containers.values()
        if may_be_tested(each, now) and _is_owed_a_strip(situation, each, now)
    ]


def _is_owed_a_strip(situation: Situation, container: Container, now: datetime) -> bool:
    if container.fitness is Fitness.HELD:
        return True
    models = {each.model for each in situation.clinic.devices.values()}
    protocols = map(situation.today, models)
    policies = {each.chemistry.name: each.strip_policy for each in protocols}
    policy = policies.get(container.product, BATH_BEFORE_EACH_USE)
    if policy == BATH_BEFORE_EACH_USE:
        return container.kind is Kind.BATH
    is_passed = container.passed is not None and now < container.passed.good_until
    return policy == BOTTLE_DAILY and container.kind is Kind.BOTTLE and not is_passed


def _ending(situation: Situation, now: datetime) -> list[str]:
    """S5: what may be used now and not tomorrow."""
    end = end_of_day(local_day(now, situation.zone), situation.zone)
    clinic = situation.clinic
    liquids = [each for each in clinic.containers.values() if is_sound(each, now)]
    strips = [each for each in clinic.strips.values() if is_usable(each, now)]
    kept: list[Container | StripBottle] = [*liquids, *strips]
    return [each.tag for each in kept if each.discard_by <= end]

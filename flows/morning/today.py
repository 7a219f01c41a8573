"""What a clinic has today: what is in date, what a strip must judge, what ends with the day."""

from datetime import datetime
from itertools import zip_longest

from flows.calculations.calendar import end_of_day, local_day
from flows.parts.clinic import Container, Fitness, Kind, StripBottle
from flows.parts.listed import listed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry
from flows.rules.container_life import has_uses_left
from flows.rules.release import is_ready
from flows.rules.strip import (
    BATH_BEFORE_EACH_USE,
    BOTTLE_DAILY,
    is_sound,
    is_usable,
    may_be_tested,
)

IN_DATE = 4
"""So many tags are named: a bath, a bottle, a jug and strips, where there is one of each."""

KINDS = (Kind.BATH, Kind.BOTTLE, Kind.JUG, None, Kind.MIXED)
"""In the order in which they are named; None is a bottle of strips."""

Thing = Container | StripBottle


def today(situation: Situation, now: datetime) -> Text:
    """What is good, what must be tested before use, what ends with the day, what is ready."""
    good = _good(situation, now)
    end = end_of_day(local_day(now, situation.zone), situation.zone)
    return say(
        "morning",
        "Good morning. In date: {in_date}. Strip first: {tested}. Ends today: {ending}. Ready: "
        "{devices}. More: {state}.",
        in_date=listed([each.tag for each in good], IN_DATE),
        tested=listed(_to_test(situation, now)),
        ending=listed([each.tag for each in good if each.discard_by <= end]),
        devices=listed(
            [each.label for each in situation.clinic.devices.values() if is_ready(each, now)]
        ),
    )


def _good(situation: Situation, now: datetime) -> list[Thing]:
    """Whatever may be used now: of each kind the first to run out, then of each the second.

    What is used together stands together: strips beside the bath that they judge.
    """
    clinic = situation.clinic
    liquids = [each for each in clinic.containers.values() if is_sound(each, now)]
    things: list[Thing] = [each for each in liquids if _has_a_soak(situation, each)]
    strips = [each for each in clinic.strips.values() if situation.uses(each.product)]
    things += [each for each in strips if is_usable(each, now)]
    things.sort(key=lambda each: each.discard_by)
    used_with = _used_with(situation)
    groups: dict[str, list[Thing]] = {name: [] for name in used_with.values()}
    for each in things:
        groups.setdefault(used_with.get(each.product, each.product), []).append(each)
    ranks = zip_longest(*map(_by_rank, groups.values()), fillvalue=())
    return [each for rank in ranks for kinds in rank for each in kinds if each is not None]


def _used_with(situation: Situation) -> dict[str, str]:
    """For each strip and each disinfectant of the devices here: that disinfectant."""
    models = dict.fromkeys(each.model for each in situation.clinic.devices.values())
    protocols = [*map(situation.today, models)]
    used_with = {each.chemistry.name: each.chemistry.name for each in protocols}
    return used_with | {each.strip.name: each.chemistry.name for each in protocols}


def _by_rank(things: list[Thing]) -> list[tuple[Thing | None, ...]]:
    kinds = [[each for each in things if _kind(each) is kind] for kind in KINDS]
    return [*zip_longest(*kinds)]


def _kind(thing: Thing) -> Kind | None:
    return thing.kind if isinstance(thing, Container) else None


def _has_a_soak(situation: Situation, container: Container) -> bool:
    """S4, S5: a bath that may take another; what was mixed for one soak is not for today's.

    Nor is anything that no probe here is soaked in.
    """
    chemistry = _chemistries(situation).get(container.product)
    if container.kind is Kind.MIXED:
        return True
    if container.kind is not Kind.BATH or chemistry is None:
        return chemistry is not None
    return has_uses_left(container.uses, chemistry) and not chemistry.is_single_use


def _chemistries(situation: Situation) -> dict[str, Chemistry]:
    """The disinfectants of the devices here."""
    models = {each.model for each in situation.clinic.devices.values()}
    chemistries = (situation.today(model).chemistry for model in models)
    return {each.name: each for each in chemistries}


def _to_test(situation: Situation, now: datetime) -> list[str]:
    """S4: by policy each bath before each use, or the bottle daily; and whatever is on hold."""
    return [
        each.tag
        for each in situation.clinic.containers.values()
        if may_be_tested(each, now)
        and _has_a_soak(situation, each)
        and _is_owed_a_strip(situation, each, now)
    ]


def _is_owed_a_strip(situation: Situation, container: Container, now: datetime) -> bool:
    if container.fitness is Fitness.HELD:
        return True
    chemistry = _chemistries(situation).get(container.product)
    policy = chemistry.strip_policy if chemistry else BATH_BEFORE_EACH_USE
    if policy == BATH_BEFORE_EACH_USE:
        return container.kind is Kind.BATH
    is_passed = container.passed is not None and now < container.passed.good_until
    return policy == BOTTLE_DAILY and container.kind is Kind.BOTTLE and not is_passed

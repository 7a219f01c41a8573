"""S1: in what a cycle can satisfy today's protocol no more, as soon as that can be known."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType
from typing import NamedTuple

from flows.parts.clinic import Container
from flows.parts.events import (
    QuestionAsked,
    SiteChoiceMade,
    Stamped,
    StepDone,
    StripDipped,
    StripRead,
)
from flows.parts.situation import Situation, protocol_of
from flows.protocols.compare import POURED_AWAY, replaced
from flows.protocols.model import CycleProtocol
from flows.protocols.versions import changed_since, held_to
from flows.rules.release import Evidence, evidence, last_soak, what_is_missing
from flows.rules.soak import contact_time

MEASURED = frozenset(
    {
        "contact_time",
        "contact_time_warmer",
        "minimum_temperature_c",
        "maximum_temperature_c",
        "recheck_within_c",
        "maximum_soak",
        "rinse_each_for",
        "strip_policy",
        "soak_for",
    }
)
"""What `what_is_missing` holds the entries to, whichever version they were made by."""

DATED = frozenset(
    {
        "activated_life_days",
        "jug_open_life_days",
        "reuse_life_days",
        "bath_life",
        "open_life_days",
        "hang_time",
    }
)
"""What a label or a release says the end of: made shorter, it is written anew at once (S5, S9)."""

NO_STEP = POURED_AWAY | {"jug_store_minimum_c", "one_batch_per_device", "unplug_needed"}
"""What no step is done by: where a jug stands, what the drain is owed; and of every cycle it is
asked, whatever the figure, that it is unplugged and has a batch of its own."""

STATED: Mapping[str, str] = MappingProxyType(
    {
        "rinse_count": "final_rinse",
        "rinse_volume_l": "final_rinse",
        "soak_volume_ml": "mix",
        "water_minimum_c": "mix",
        "water_maximum_c": "mix",
        "wipe_wet_time": "wipe_rinse",
    }
)
"""Figures that one word states, and no entry a number of: by which figure it was done, only when
it was asked for can tell."""

DIPPED = frozenset({"strips_per_test", "qc_positive", "qc_negative"})
"""Figures that a strip was dipped by; its bottle was checked before that."""

SEEN: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(STATED, "stated"),
        **dict.fromkeys(DIPPED, "dipped"),
        "read_within": "read",
        "bath_volume_ml": "filled",
        "bath_uses_max": "used",
        "bell_margin": "rung",
    }
)
"""How each figure is judged that `what_is_missing` does not measure."""


class _Differs(NamedTuple):
    """A figure in which what a cycle is held to is stricter than what it began with."""

    part: str
    product: str
    key: str
    value: object


def not_as_today(situation: Situation, now: datetime) -> str:
    """The first figure, as 'product.key', in which this cycle cannot satisfy today's version.

    Empty where it can still earn its release. What was asked for by the stricter figure already,
    and what is still to be done, stands against nothing.
    """
    cycle = situation.cycle
    own, today = protocol_of(cycle), situation.today(situation.device.model)
    if own == today:
        return ""
    held = held_to(own, today)
    figures = tuple(_stricter(own, held))
    history = situation.history(cycle.id)
    found = (
        *changed_since(own, today),
        *_unproved(history, own, held, figures, now),
        *_done_by_less(situation, history, held, figures),
    )
    return next(iter(found), "")


def _stricter(own: CycleProtocol, held: CycleProtocol) -> Iterator[_Differs]:
    for part in ("chemistry", "strip", "device_model", "detergent"):
        ours, theirs = getattr(own, part), getattr(held, part)
        for key in ours.table:
            if getattr(ours, key) != getattr(theirs, key):
                yield _Differs(part, ours.name, key, getattr(theirs, key))


def _unproved(
    history: tuple[Stamped, ...],
    own: CycleProtocol,
    held: CycleProtocol,
    figures: tuple[_Differs, ...],
    now: datetime,
) -> Iterator[str]:
    """Where the entries prove what it began with, and not what it is held to: by which figure."""
    lacking = {*what_is_missing(history, held, now)} - {*what_is_missing(history, own, now)}
    for each in figures if lacking else ():
        product = replaced(getattr(own, each.part), {each.key: each.value}, {})
        own = replace(own, **{each.part: product})
        if not lacking.isdisjoint(what_is_missing(history, own, now)):
            yield f"{each.product}.{each.key}"
            return


def _done_by_less(
    situation: Situation,
    history: tuple[Stamped, ...],
    held: CycleProtocol,
    figures: tuple[_Differs, ...],
) -> Iterator[str]:
    """Where a step was asked for by less than what is asked today, and no entry measures it."""
    seen, chosen = evidence(history), _chosen(situation, history)
    for each in figures:
        at = chosen.get((each.product, each.key))
        if _is_done_by_less(situation, seen, held, each.key, at):
            yield f"{each.product}.{each.key}"


def _chosen(situation: Situation, history: tuple[Stamped, ...]) -> dict[tuple[str, str], datetime]:
    """When each figure was last chosen since it began; of the program's own nobody knows when."""
    made = situation.past((SiteChoiceMade,), history[0].at)
    return {
        (each.event.product, each.event.key): each.at
        for each in made
        if isinstance(each.event, SiteChoiceMade)
    }


def _is_done_by_less(
    situation: Situation, seen: Evidence, held: CycleProtocol, key: str, chosen: datetime | None
) -> bool:
    how = SEEN.get(key)
    if how == "rung":
        return _rang_too_soon(seen, held)
    if how in {"filled", "used"}:
        return _bath_is_not(situation, seen, held, how, chosen)
    at = {"stated": _stated, "dipped": _dipped, "read": _read}
    done = at[how](situation, seen, key) if how else None
    return done is not None and (chosen is None or done <= chosen)


def _stated(_: Situation, seen: Evidence, key: str) -> datetime | None:
    """When the text went out that asked for it; None where it is not done, or was measured."""
    what = STATED[key]
    if key == "wipe_wet_time" and not seen.is_covered(what):
        return None
    for index, each in reversed([*enumerate(seen.entries)]):
        if isinstance(each.event, StepDone) and each.event.what == what:
            by = each.event.stated_with or what
            return _asked(seen.entries[:index], "cycle", by)
    return None


def _asked(before: tuple[Stamped, ...], flow: str, step: str = "") -> datetime:
    """When it was last asked for with all its figures; else the earliest that can have been."""
    asked = [
        each.at
        for each in before
        if isinstance(each.event, QuestionAsked)
        and each.event.frames[-1].flow == flow
        and step in {"", each.event.frames[-1].step}
    ]
    return asked[-1] if asked else before[0].at


def _test(seen: Evidence) -> str:
    """The strip that it soaks or has soaked on; before that it can still have another."""
    into, _ = last_soak(seen)
    return into[1].strip_test if into else ""


def _dipped(situation: Situation, seen: Evidence, _: str) -> datetime | None:
    """When it was asked for; of a strip that was dipped before or aside, when it was dipped."""
    test = _test(seen)
    for index, each in enumerate(seen.entries):
        if isinstance(each.event, StripDipped) and each.event.test == test:
            return _asked(seen.entries[:index], "strip_test")
    return _aside(situation, seen, StripDipped, test) if test else None


def _read(situation: Situation, seen: Evidence, _: str) -> datetime | None:
    test = _test(seen)
    return _aside(situation, seen, StripRead, test) if test else None


def _aside(
    situation: Situation, seen: Evidence, kind: type[StripDipped | StripRead], test: str
) -> datetime:
    began = seen.entries[0].at
    told = situation.past((kind,), began)
    at = [each.at for each in told if getattr(each.event, "test", "") == test]
    return at[0] if at else began


def _bath_is_not(
    situation: Situation,
    seen: Evidence,
    held: CycleProtocol,
    how: str,
    chosen: datetime | None,
) -> bool:
    """Whether what it soaks or has soaked in holds too little, or has had too many soaks."""
    into, _ = last_soak(seen)
    bath = situation.clinic.containers.get(into[1].bath) if into else None
    if bath is None:
        return False
    if how == "used":
        most = held.chemistry.bath_uses_max
        return most is not None and bath.uses > most
    return _holds_less(bath, held, chosen)


def _holds_less(bath: Container, held: CycleProtocol, chosen: datetime | None) -> bool:
    if bath.volume_ml is None:
        return chosen is None or bath.since <= chosen
    return bath.volume_ml < held.device_model.bath_volume_ml


def _rang_too_soon(seen: Evidence, held: CycleProtocol) -> bool:
    """S2: the margin is for the probe that is still in the hand when IN is texted."""
    into, out = last_soak(seen)
    if into is None or out is None:
        return False
    least = contact_time(held, into[1].celsius, out[1].celsius) + held.chemistry.bell_margin
    return out[1].lasted < least

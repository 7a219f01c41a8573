"""A clock that was put back: what is remembered of times moves back with it (S2, S5, S9)."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass, replace
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Any, TypeVar

from flows.parts.clinic import Bell, Clinic, Soak
from flows.parts.state.change import SOAK_BELLS

Thing = TypeVar("Thing")


def put_back(clinic: Clinic, step: timedelta, now: datetime) -> Clinic:
    """Whatever has a date or a moment, as the clock shows it after *step*, which is below zero.

    Else all would be good, ready or locked for longer by so much. Dates that were right before
    end too early then, which is the safe side. A soak is the exception: it never ends sooner, and
    counts from *now* where it would have begun in time to come.
    """
    bells = {each.id: _bell(clinic, each, step, now) for each in clinic.bells.values()}
    cycles = {
        each.id: replace(
            each, detergent=_no_sooner(each.detergent, now), contact=_no_sooner(each.contact, now)
        )
        for each in clinic.cycles.values()
    }
    moved = _moved(replace(clinic, bells=MappingProxyType({}), cycles=MappingProxyType({})), step)
    return replace(moved, bells=MappingProxyType(bells), cycles=MappingProxyType(cycles))


def _no_sooner(soak: Soak | None, now: datetime) -> Soak | None:
    return _moved(soak, now - soak.began) if soak and soak.began > now else soak


def _bell(clinic: Clinic, bell: Bell, step: timedelta, now: datetime) -> Bell:
    if bell.kind not in SOAK_BELLS:
        return _moved(bell, step)
    cycle = clinic.cycles.get(bell.cycle or "")
    soak = getattr(cycle, bell.kind, None)
    return _moved(bell, now - soak.began) if soak and soak.began > now else bell


def _moved(thing: Thing, step: timedelta) -> Thing:
    """*thing* with each moment in it moved; days, as a maker prints them, stay."""
    moved: Any = thing
    if isinstance(thing, datetime):
        moved = thing + step
    elif isinstance(thing, str):
        moved = _as_remembered(thing, step)
    elif isinstance(thing, tuple):
        moved = tuple(_moved(each, step) for each in thing)
    elif isinstance(thing, Mapping):
        moved = MappingProxyType({key: _moved(each, step) for key, each in thing.items()})
    elif is_dataclass(thing) and not isinstance(thing, type):
        named = (each.name for each in fields(thing))
        moved = replace(thing, **{name: _moved(getattr(thing, name), step) for name in named})
    found: Thing = moved
    return found


def _as_remembered(text: str, step: timedelta) -> str:
    """What a question remembers of a moment is its ISO form; any other text stays."""
    with suppress(ValueError):
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is not None:
            return (moment + step).isoformat()
    return text

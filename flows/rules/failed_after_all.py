"""S4, S18: a strip that has failed after all: what a fail told then would have left in doubt."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import cast

from flows.parts.events import (
    Immersed,
    JugOpened,
    Mixed,
    Poured,
    PutInBath,
    Stamped,
    StepDone,
    StripRead,
    TakenOut,
)
from flows.parts.look_back import InDoubt
from flows.parts.situation import Situation
from flows.rules.container_life import LONGEST_SHELF
from flows.rules.found_unfit import FOR_EVER, Span, went_by
from flows.rules.strip import DIP_CARRIED, FAIL, LATE, NO_RESULT, PASS, strips_stand

_COMES = (JugOpened, Mixed, Poured)
_WAS_IN_IT = (Immersed, TakenOut, PutInBath, StepDone)


@dataclass(frozen=True, slots=True)
class _Life:
    """What bore a *tag*, and between which moments, as the record has it."""

    tag: str
    span: Span


def may_fail(read: StripRead) -> bool:
    """A pass; or what was read too late: a fail counts however late. Too early shows nothing."""
    in_vain = read.outcome == NO_RESULT and read.because in {LATE, DIP_CARRIED}
    return in_vain or read.outcome == PASS


def in_doubt(situation: Situation, read: StripRead) -> InDoubt | None:
    """S4: what has gone by it since the last pass before *read* that stands, another since or not.

    A solution that has failed is no better by another strip. None for a strip that is read for
    the first time: what that leaves in doubt is known without the record.
    """
    before = _told_before(situation, read)
    if before is None:
        return None
    lives = _liquid(situation, read.container, before.at)
    good = {each: _known_good(situation, each, before) for each in lives}
    since = [at for at in good.values() if at]
    cycles = (
        cycle
        for life, at in good.items()
        for cycle in went_by(
            situation,
            frozenset({life.tag}),
            frozenset(),
            replace(life.span, since=at or life.span.since),
            _WAS_IN_IT,
        )
    )
    is_its_own = lives[0].span.until == FOR_EVER
    is_here = is_its_own and read.container in situation.clinic.containers
    first = min(since) if len(since) == len(good) else None
    return InDoubt(first, tuple(dict.fromkeys(cycles)), is_here)


def _told_before(situation: Situation, read: StripRead) -> Stamped | None:
    """The same strip, read otherwise, or said to be of another container."""
    midnight = datetime(read.day.year, read.day.month, read.day.day, tzinfo=UTC)
    told = (
        each
        for each, was in _reads(situation, midnight - timedelta(days=1))
        if was.test == read.test and (was.outcome, was.container) != (FAIL, read.container)
    )
    return next(told, None)


def _liquid(situation: Situation, tag: str, at: datetime) -> Sequence[_Life]:
    """The container that bore *tag* then, and whatever was poured from it, and from that."""
    comes = situation.past(_COMES, at - LONGEST_SHELF)
    found = [_life(comes, tag, at)]
    for life in found:
        found += _poured_from(comes, life)
    return found


def _life(comes: Sequence[Stamped], tag: str, at: datetime) -> _Life:
    begins = [each.at for each in comes if getattr(each.event, "tag", "") == tag]
    since = max((each for each in begins if each <= at), default=at - LONGEST_SHELF)
    until = min((each for each in begins if each > at), default=FOR_EVER)
    return _Life(tag, Span(since, until))


def _poured_from(comes: Sequence[Stamped], life: _Life) -> Iterator[_Life]:
    span = life.span
    for each in comes:
        if getattr(each.event, "source", "") == life.tag and span.since <= each.at < span.until:
            yield _life(comes, getattr(each.event, "tag", ""), each.at)


def _known_good(situation: Situation, life: _Life, told: Stamped) -> datetime | None:
    """When the strip was dipped that had passed last in it before; strips that stand alone count.

    What was in it while that was dipped is in doubt: it came out after it.
    """
    before = [
        (each.at, read)
        for each, read in _reads(situation, life.span.since)
        if each != told and each.at <= told.at
    ]
    dips = [
        (at - (read.age_most or read.age), read.strips)
        for at, read in before
        if (read.container, read.outcome) == (life.tag, PASS)
    ]
    good = (at for at, strips in dips if strips_stand(situation.clinic, strips, at))
    return max(good, default=None)


def _reads(situation: Situation, since: datetime) -> list[tuple[Stamped, StripRead]]:
    return [(each, cast("StripRead", each.event)) for each in situation.past((StripRead,), since)]

"""What a clinic uses, from its record: strips and fillings, and how long what is left lasts.

A day of use is one on which strips were dipped, or baths filled. How much is used on one is the
median of the last four weeks, which one odd day does not move; how far one is from the next is the
mean without the longest wait, so that weekends count and a holiday does not.
"""

import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

from flows.calculations.calendar import local_day
from flows.parts.clinic import Container, Kind, StripBottle
from flows.parts.events import (
    Event,
    Immersed,
    Poured,
    Stamped,
    StripBottleOpened,
    StripDipped,
    StripsChecked,
)

LOOKED_AT = timedelta(days=28)
"""How far back use is looked at. Source: common practice, none published."""

LEAST_DAYS = 3
"""Fewer days of use say nothing yet. Source: common practice, none published."""


_VOLUME = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,3})?) ?[lL]")


def volume_as_written(written: str) -> int | None:
    """Millilitres of '5 L' or '3.785 l'; None for anything else."""
    found = _VOLUME.fullmatch(written)
    return int(Decimal(found[1]) * 1000) or None if found else None


def strips_as_written(written: str) -> int | None:
    """How many strips a new bottle holds, '50'; None for anything else."""
    return int(written) or None if re.fullmatch("[0-9]{1,3}", written) else None


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of something, and for how long at the usual use."""

    count: int
    days: int | None
    """By the calendar, whether it is used on them or not; None for too little to go by."""


@dataclass(frozen=True, slots=True)
class Seen:
    """Entries of a site as far back as matters, oldest first, and its zone."""

    entries: Sequence[Stamped]
    zone: ZoneInfo
    now: datetime

    def by_day(self, is_counted: Callable[[Event], bool]) -> Counter[date]:
        """How much of it happened on each day of the last weeks; today is not over yet."""
        today = local_day(self.now, self.zone)
        lately = (each for each in self.entries if self.now - each.at <= LOOKED_AT)
        days = (local_day(each.at, self.zone) for each in lately if is_counted(each.event))
        return Counter(day for day in days if day != today)


def strips_left(
    bottles: Iterable[StripBottle], kin: Collection[str], held: int, each_test: int, seen: Seen
) -> Left | None:
    """Strips left in *bottles*, which held so many, at *each_test* a test; None for no bottle.

    *kin* are the tags of all bottles of that product, whatever has become of them: tests with
    another product's strips use up none of these.
    Source: the record: tests since each was opened, and those of its own quality control.
    """
    opened = [*bottles]
    if not opened:
        return None
    used = sum(_strips_used(bottle, each_test, seen) for bottle in opened)
    count = max(0, held * len(opened) - used)
    tests = seen.by_day(lambda event: isinstance(event, StripDipped) and event.strips in kin)
    return Left(count, _lasts(count // each_test, tests))


def _strips_used(bottle: StripBottle, each_test: int, seen: Seen) -> int:
    since = [each.event for each in seen.entries if each.at >= bottle.opened]
    dips = [each for each in since if isinstance(each, StripDipped)]
    tests = [each for each in dips if each.strips == bottle.tag]
    controls = [each for each in since if isinstance(each, StripBottleOpened | StripsChecked)]
    own = [each.qc_good + each.qc_diluted for each in controls if each.tag == bottle.tag]
    return len(tests) * each_test + sum(own)


def fillings_left(
    sources: Iterable[Container], jug_ml: int, bath_ml: int, wipe_ml: int, seen: Seen
) -> Left | None:
    """How many baths *sources* of one product still fill, and for how long; None for no jug.

    They are its jugs and the working bottles that still stand. *jug_ml* is what a jug held of
    which the record does not say. Counted off a jug: each bottle whose volume the record says,
    used or thrown away; of both: baths, by way of a bottle of unknown volume too, and *wipe_ml* a
    soak for handle and cable. Source: the record.
    """
    opened = [*sources]
    if not any(each.kind is Kind.JUG for each in opened):
        return None
    count = 0
    for each in opened:
        held = int(each.volume_ml or (jug_ml if each.kind is Kind.JUG else 0))
        count += max(0, held - _drawn_ml(each, bath_ml, wipe_ml, seen)) // bath_ml
    fills = seen.by_day(lambda event: _is_bath_of(opened[0].product, event))
    return Left(count, _lasts(count, fills))


def _drawn_ml(source: Container, bath_ml: int, wipe_ml: int, seen: Seen) -> int:
    """Millilitres taken out of it since it was opened or filled; a bottle's own are its own."""
    drawn, of_it = 0, {source.tag}
    for event in (each.event for each in seen.entries if each.at >= source.since):
        if isinstance(event, Immersed):
            drawn += wipe_ml if event.bath in of_it else 0
        elif isinstance(event, Poured) and event.tag == source.tag:
            drawn, of_it = 0, {source.tag}  # what bore its tag before was another
        elif isinstance(event, Poured) and event.source in of_it:
            drawn += int(event.volume_ml or (bath_ml if event.kind is Kind.BATH else 0))
            of_it = of_it - {event.tag} if _has_its_own(event) else of_it | {event.tag}
        elif isinstance(event, Poured):
            of_it = of_it - {event.tag}
    return drawn


def _has_its_own(pour: Poured) -> bool:
    """Whether what it fills is counted down by itself: a bottle whose volume is known."""
    return pour.kind is Kind.BOTTLE and pour.volume_ml is not None


def _is_bath_of(product: str, event: Event) -> bool:
    return isinstance(event, Poured) and event.kind is Kind.BATH and event.product == product


def _lasts(count: int, used: Mapping[date, int]) -> int | None:
    """For how many days of the calendar *count* does, by whole days of use; None for too few."""
    if len(used) < LEAST_DAYS:
        return None
    waits = sorted((then - first).days for first, then in pairwise(sorted(used)))[:-1]
    return int(count / median(used.values())) * sum(waits) // len(waits)

"""What a clinic uses, from its record: strips and fillings, and how long what is left lasts.

A working day is one on which a probe was soaked or a strip was dipped. All is estimated from the
last four weeks by the median, which one odd day does not move.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

from flows.calculations.calendar import local_day
from flows.parts.clinic import Container, Kind, StripBottle
from flows.parts.events import (
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
"""Fewer working days, or days of filling, say nothing yet. Source: common practice, none
published."""


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
    """What is left of something, and for how many working days at the usual use."""

    count: int
    days: int | None
    """None where there is not enough to go by."""


@dataclass(frozen=True, slots=True)
class Seen:
    """Entries of a site as far back as matters, oldest first, and its zone."""

    entries: Sequence[Stamped]
    zone: ZoneInfo
    now: datetime

    def lately(self) -> Iterable[Stamped]:
        """Those of the last weeks."""
        return (each for each in self.entries if self.now - each.at <= LOOKED_AT)

    def day(self, stamped: Stamped) -> date:
        return local_day(stamped.at, self.zone)

    @property
    def working_days(self) -> list[date]:
        """Days of the last weeks on which somebody soaked or tested; today does not count yet."""
        today = local_day(self.now, self.zone)
        worked = (each for each in self.lately() if isinstance(each.event, Immersed | StripDipped))
        return sorted({self.day(each) for each in worked} - {today})


def strips_left(
    bottles: Iterable[StripBottle], held: int, each_test: int, seen: Seen
) -> Left | None:
    """Strips left in *bottles*, which held so many, at *each_test* a test; None for no bottle.

    Source: the record: tests since each was opened, and those of its own quality control.
    """
    opened = [*bottles]
    if not opened:
        return None
    used = sum(_strips_used(bottle, each_test, seen) for bottle in opened)
    count = max(0, held * len(opened) - used)
    a_day = _strips_a_day(each_test, seen)
    return Left(count, int(count / a_day) if a_day else None)


def _strips_used(bottle: StripBottle, each_test: int, seen: Seen) -> int:
    since = [each.event for each in seen.entries if each.at >= bottle.opened]
    dips = [each for each in since if isinstance(each, StripDipped)]
    tests = [each for each in dips if each.strips == bottle.tag]
    controls = [each for each in since if isinstance(each, StripBottleOpened | StripsChecked)]
    own = [each.qc_good + each.qc_diluted for each in controls if each.tag == bottle.tag]
    return len(tests) * each_test + sum(own)


def _strips_a_day(each_test: int, seen: Seen) -> float:
    """The median over working days, those without a strip included; 0 for too few of them."""
    days = seen.working_days
    dipped = Counter(
        seen.day(each) for each in seen.lately() if isinstance(each.event, StripDipped)
    )
    if len(days) < LEAST_DAYS:
        return 0
    return float(median(dipped[day] * each_test for day in days))


def fillings_left(
    jugs: Iterable[Container], jug_ml: int, bath_ml: int, wipe_ml: int, seen: Seen
) -> Left | None:
    """How many baths *jugs* of one product still fill, and for how many working days that does.

    *jug_ml* is what one held of which the record does not say.
    Counted off: baths filled from it, by way of a bottle too, and *wipe_ml* a soak for handle and
    cable. Source: the record; days by the median number of baths filled at a time, and the median
    number of working days from one time to the next.
    """
    opened = [*jugs]
    if not opened:
        return None
    count = 0
    for jug in opened:
        filled, soaked = _drawn_from(jug, seen)
        held = int(jug.volume_ml or jug_ml)
        count += max(0, held - filled * bath_ml - soaked * wipe_ml) // bath_ml
    days = _days_a_filling(opened[0].product, seen)
    return Left(count, int(count * days) if days else None)


def _drawn_from(jug: Container, seen: Seen) -> tuple[int, int]:
    """Baths filled from the jug since it was opened, and soaks in them."""
    roots: dict[str, str] = {jug.tag: jug.tag}
    filled = soaked = 0
    for each in seen.entries:
        if each.at < jug.since:
            continue
        if isinstance(each.event, Poured):
            roots[each.event.tag] = roots.get(each.event.source, "")
            filled += each.event.kind is Kind.BATH and roots[each.event.tag] == jug.tag
        elif isinstance(each.event, Immersed):
            soaked += roots.get(each.event.bath) == jug.tag
    return filled, soaked


def _days_a_filling(product: str, seen: Seen) -> float:
    """Working days that one filling does; 0 where it has not been filled often enough to say."""
    fills = Counter(
        seen.day(each)
        for each in seen.lately()
        if isinstance(each.event, Poured)
        and each.event.kind is Kind.BATH
        and each.event.product == product
    )
    if len(fills) < LEAST_DAYS:
        return 0
    return float(median(_gaps(fills, seen.working_days)) / median(fills.values()))


def _gaps(fills: Mapping[date, int], worked: Sequence[date]) -> list[int]:
    """Working days from one day of filling to the next, that day not counted; 1 at least."""
    days = sorted(fills)
    return [max(1, sum(first <= day < then for day in worked)) for first, then in pairwise(days)]

"""Does the day fit; when is the last probe ready; what would make it fit, alone or together."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from itertools import islice, product
from typing import Any

from flows.calculations.bounds import least_time
from flows.calculations.pace import pace_of
from flows.calculations.schedule import Day, Turn, schedules
from flows.protocols.model import CycleProtocol

MOST_TO_TRY = 9
"""Of no thing are more than so many tried. Source: common practice, none published."""

MOST_SIMULATED = 64
"""So many ways together are simulated, and no more: whoever asked by text waits for the answer.
The bounds leave a handful but for days that they miss by minutes. Source: common practice, none
published."""

LEFT_OVER = timedelta(minutes=4)
"""S12: a plan leaves so much of the longest soak unused, as hands are not to the second. Source:
common practice, none published."""

REMEMBERED = 4096
"""So many days that were tried are remembered, each by when it ends: a few megabytes."""

DEAREST_FIRST = ("probes", "people", "baths", "tubs")
"""What a day may have more or less of; the first is the hardest to come by. Source: common
practice, none published."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How a day goes under a protocol, in the best of the ways that were tried."""

    day: Day
    protocol: CycleProtocol
    turns: tuple[Turn, ...]

    @property
    def last_ready(self) -> timedelta:
        """Since opening: when the last probe is covered."""
        return max(turn.ready_at for turn in self.turns)

    @property
    def is_left_too_long(self) -> bool:
        """S12: a probe would lie in detergent or bath to its maximum, for want of hands."""
        protocol = self.protocol
        longest = max(protocol.bell_after, protocol.maximum_soak - LEFT_OVER)
        return any(
            turn.out_at - turn.in_at > longest
            or turn.rinsed_from - turn.under_at > protocol.detergent.maximum_soak
            for turn in self.turns
        )

    @property
    def past_the_bell(self) -> timedelta:
        """S12: the longest that a probe lies in its bath after the bell, for want of hands."""
        return max(turn.out_at - turn.in_at for turn in self.turns) - self.protocol.bell_after

    def fits(self, open_for: timedelta) -> bool:
        """Whether the last probe is ready by closing."""
        return self.last_ready <= open_for


def planned(day: Day, protocol: CycleProtocol) -> Plan:
    """The best plan for *day*: by either way of working, and with any of its things unused.

    That it may leave things unused makes one thing more never worse, and none is left in too
    long: with one probe nothing has to wait in a liquid. Raises ValueError for a day
    that lacks something. Source: the protocol's figures and the pace in `pace`.
    """
    if min(day.patients, day.probes, day.baths, day.people, day.tubs, day.rooms) < 1:
        raise ValueError(f"{day} lacks something; all but the exam and unready is at least 1.")
    _, used = _best(day, protocol)
    plans = [Plan(day, protocol, each.turns) for each in schedules(used, pace_of(protocol))]
    return min(plans, key=_order)


Order = tuple[bool, timedelta]
"""What makes one plan better than another: none is left in too long, and it ends sooner."""


def _order(plan: Plan) -> Order:
    return plan.is_left_too_long, plan.last_ready


@lru_cache(maxsize=REMEMBERED)
def _tried(day: Day, protocol: CycleProtocol) -> tuple[Order, Day]:
    """How it goes with all of the day's things, and which of them are ever in use."""
    made = schedules(day, pace_of(protocol))
    best = min(_order(Plan(day, protocol, each.turns)) for each in made)
    return best, _day_of(day, tuple(map(max, *(_counts(each.in_use) for each in made))))


@lru_cache(maxsize=REMEMBERED)
def _best(day: Day, protocol: CycleProtocol) -> tuple[Order, Day]:
    """The best that can come of *day*, and the things that are used then."""
    order, in_use = _tried(day, protocol)
    best = order, day
    for fewer in _each_less(in_use):
        if best[0][0] or least_time(fewer, pace_of(protocol)) < best[0][1]:
            best = min(best, _best(fewer, protocol), key=lambda each: each[0])
    return best


@lru_cache(maxsize=REMEMBERED)
def _fits(day: Day, protocol: CycleProtocol, open_for: timedelta) -> bool:
    """Whether the best plan does; the best need not be found for it."""
    if least_time(day, pace_of(protocol)) > open_for:
        return False
    order, in_use = _tried(day, protocol)
    return order <= (False, open_for) or any(
        _fits(fewer, protocol, open_for) for fewer in _each_less(in_use)
    )


def _each_less(day: Day) -> Iterator[Day]:
    """The day with one thing less, each in turn, where there is more than one of it.

    A probe less is one that is not ready; last of all it may be one that is.
    """
    for what in DEAREST_FIRST:
        left = getattr(day, what) - 1
        if left:
            yield _with(day, what, left)
    if 0 < day.unready < day.probes:
        yield replace(day, probes=day.probes - 1)


def _with(day: Day, what: str, count: int) -> Day:
    changes: dict[str, Any] = {what: count}
    return day.with_probes(count) if what == "probes" else replace(day, **changes)


@dataclass(frozen=True, slots=True)
class WouldFit:
    """The smallest number found of each, from what there is, that alone makes the day fit.

    None: none of those that were tried does. That a day fits is never false; a better schedule
    than is tried here may fit it with less.
    """

    probes: int | None
    baths: int | None
    people: int | None
    tubs: int | None
    patients: int
    """How many patients fit into the day as it is; 0 for none."""
    together: Day | None = None
    """Where nothing alone does: the day with the fewest things more; None for none found."""


def would_fit(day: Day, protocol: CycleProtocol, open_for: timedelta) -> WouldFit:
    """What would make *day* fit into the time that the clinic is open.

    Source: the same simulation, tried up to `MOST_TO_TRY` of each.
    """

    def fits(tried: Day) -> bool:
        return _fits(tried, protocol, open_for)

    alone = {what: _smallest(day, what, fits) for what in DEAREST_FIRST}
    is_alone = any(count is not None for count in alone.values())
    return WouldFit(
        **alone,
        patients=_patients(day, fits),
        together=None if is_alone else _together(day, protocol, open_for),
    )


def more_of(richer: Day, day: Day) -> dict[str, int]:
    """How many *richer* has of each thing that *day* has less of. Source: arithmetic."""
    pairs = {what: (getattr(richer, what), getattr(day, what)) for what in DEAREST_FIRST}
    return {what: count for what, (count, had) in pairs.items() if count > had}


def _smallest(day: Day, what: str, fits: Callable[[Day], bool]) -> int | None:
    counts = range(getattr(day, what), MOST_TO_TRY + 1)
    return next((count for count in counts if fits(_with(day, what, count))), None)


def _patients(day: Day, fits: Callable[[Day], bool]) -> int:
    """How many of the day's patients fit; halved in, as one patient less is never worse."""
    fit, tried = 0, day.patients
    while fit < tried:
        half = (fit + tried + 1) // 2
        if fits(replace(day, patients=half)):
            fit = half
        else:
            tried = half - 1
    return fit


# -- several things together ---------------------------------------------------------------------

Counts = tuple[int, ...]
"""How many of each thing, in the order of `DEAREST_FIRST`."""


def _together(day: Day, protocol: CycleProtocol, open_for: timedelta) -> Day | None:
    """The fewest things more in all; of as many, the fewest probes more, then people, then baths.

    What is looked for is what is used, since a day may leave things unused: then it has that, and
    what it had before. Source: the simulation, at most `MOST_SIMULATED` times.
    """
    had = _counts(day)
    for used in islice(_to_try(day, protocol, open_for), MOST_SIMULATED):
        order, _ = _tried(_day_of(day, used), protocol)
        if order <= (False, open_for):
            return _day_of(day, tuple(map(max, used, had)))
    return None


def _to_try(day: Day, protocol: CycleProtocol, open_for: timedelta) -> Iterator[Counts]:
    """In the order of `_together`; what more of one thing alone can give is known not to do."""
    had = _counts(day)

    def more(used: Counts) -> Counts:
        return tuple(max(0, count - each) for count, each in zip(used, had, strict=True))

    enough = product(*(_enough(day, what, protocol, open_for) for what in DEAREST_FIRST))
    several = [used for used in enough if sum(map(bool, more(used))) > 1]
    return iter(sorted(several, key=lambda used: (sum(more(used)), more(used), -sum(used))))


def _enough(day: Day, what: str, protocol: CycleProtocol, open_for: timedelta) -> list[int]:
    """How many of it no bound forbids, however many there are of all the rest."""
    pace, most = pace_of(protocol), _day_of(day, (MOST_TO_TRY,) * len(DEAREST_FIRST))
    counts = range(1, MOST_TO_TRY + 1)
    return [count for count in counts if least_time(_with(most, what, count), pace) <= open_for]


def _counts(day: Day) -> Counts:
    return tuple(getattr(day, what) for what in DEAREST_FIRST)


def _day_of(day: Day, counts: Counts) -> Day:
    changes: dict[str, Any] = dict(zip(DEAREST_FIRST, counts, strict=True))
    return replace(day.with_probes(changes["probes"]), **changes)

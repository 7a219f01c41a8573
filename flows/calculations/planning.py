"""Does the day fit; when is the last probe ready; what alone would make it fit."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from typing import Any

from flows.calculations.bounds import least_time
from flows.calculations.pace import pace_of
from flows.calculations.schedule import Day, Turn, schedules
from flows.protocols.model import CycleProtocol

MOST_TO_TRY = 9
"""Of no thing are more than so many tried. Source: common practice, none published."""

ONE_LESS = ("probes", "baths", "people", "tubs")


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
        """S12: a probe would lie in detergent or bath past its maximum, for want of hands."""
        protocol = self.protocol
        return any(
            turn.out_at - turn.in_at > protocol.maximum_soak
            or turn.rinsed_from - turn.under_at > protocol.detergent.maximum_soak
            for turn in self.turns
        )

    def fits(self, open_for: timedelta) -> bool:
        """Whether the last probe is ready by closing."""
        return self.last_ready <= open_for


@lru_cache(maxsize=512)
def planned(day: Day, protocol: CycleProtocol) -> Plan:
    """The best plan for *day*: by either way of working, and with any of its things unused.

    That it may leave things unused makes one thing more never worse, and none is left in too
    long: with one probe nothing has to wait in a liquid. Raises ValueError for a day
    that lacks something. Source: the protocol's figures and the pace in `pace`.
    """
    if min(day.patients, day.probes, day.baths, day.people, day.tubs, day.rooms) < 1:
        raise ValueError(f"{day} lacks something; everything but the exam is at least 1.")
    plans = [Plan(day, protocol, turns) for turns in schedules(day, pace_of(protocol))]
    best = min(plans, key=_order)
    for fewer in filter(None, (_less(day, what) for what in ONE_LESS)):
        if best.is_left_too_long or least_time(fewer, pace_of(protocol)) < best.last_ready:
            best = min(best, replace(planned(fewer, protocol), day=day), key=_order)
    return best


def _order(plan: Plan) -> tuple[bool, timedelta]:
    return plan.is_left_too_long, plan.last_ready


def _less(day: Day, what: str) -> Day | None:
    """The day with one thing less; None where that was the last."""
    left = getattr(day, what) - 1
    return _with(day, what, left) if left else None


def _with(day: Day, what: str, count: int) -> Day:
    changes: dict[str, Any] = {what: count}
    return replace(day, **changes)


@dataclass(frozen=True, slots=True)
class WouldFit:
    """The smallest number of each, from what there is, that alone makes the day fit.

    None: none of those that were tried does.
    """

    probes: int | None
    baths: int | None
    people: int | None
    patients: int
    """How many patients fit into the day as it is; 0 for none."""


def would_fit(day: Day, protocol: CycleProtocol, open_for: timedelta) -> WouldFit:
    """What would make *day* fit into the time that the clinic is open.

    Source: the same simulation, tried up to `MOST_TO_TRY` of each.
    """
    pace = pace_of(protocol)

    def fits(tried: Day) -> bool:
        return least_time(tried, pace) <= open_for and planned(tried, protocol).fits(open_for)

    return WouldFit(
        probes=_smallest(day, "probes", fits),
        baths=_smallest(day, "baths", fits),
        people=_smallest(day, "people", fits),
        patients=_patients(day, fits),
    )


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

"""One day of probes on shared people, tubs and baths, simulated; whole seconds, no chance in it.

SimPy queues what waits; what comes of it depends on the arguments alone. A schedule for these
queues can get worse by a thing more (R. L. Graham, Bounds on Multiprocessing Timing Anomalies,
1969, from memory); `planning` therefore also tries to leave things unused.
"""

from collections.abc import Callable, Generator
from dataclasses import dataclass, fields, replace
from datetime import timedelta
from typing import Any

from simpy import Environment, Event, PriorityResource, PriorityStore, Resource

from flows.calculations.pace import Pace

FINISH, IMMERSE, STRIP, CLEAN, EXAMINE = range(5)
"""What a free hand does first: never keep a bell waiting, then feed the bath, then the queue."""

SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """What a day has. All patients are there at opening."""

    patients: int
    probes: int
    baths: int
    people: int
    """Who examine and who clean: one of them at each examination, one at each act of cleaning."""
    exam: timedelta
    tubs: int = 1
    """Tubs of detergent: one batch for one probe."""
    rooms: int = 1
    """Examinations that can go on at the same time."""
    unready: int = 0
    """How many of the probes are not ready at opening, and are cleaned before a patient."""

    def with_probes(self, count: int) -> "Day":
        """The day with so many probes: of fewer the ready ones are kept, one more is ready."""
        fewer = max(0, self.probes - count)
        return replace(self, probes=count, unready=max(0, self.unready - fewer))


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One patient's probe, from examination to cover; spans since opening."""

    patient: int
    """0 where it is cleaned before the first, as it was not ready: nobody is examined with it."""
    probe: int
    bath: int
    examined_from: timedelta
    cleaned_from: timedelta
    under_at: timedelta
    """Into the detergent."""
    rinsed_from: timedelta
    """Out of the detergent."""
    in_at: timedelta
    out_at: timedelta
    ready_at: timedelta


@dataclass(frozen=True, slots=True)
class Schedule:
    """A day as it goes: all its turns, by patient, and what it takes for them.

    What is cleaned before its first patient comes first.
    """

    turns: tuple[Turn, ...]
    in_use: Day
    """The same day without what was never in use, which goes just the same: nothing is missed."""


class _Shared(PriorityResource):
    """People or tubs, and how many of them were ever in use at once."""

    most = 0

    def _do_put(self, event: Any) -> None:
        super()._do_put(event)
        self.most = max(self.most, self.count)


class _Floor:
    """The shared things of a clinic, each with its queue, and its clock in seconds."""

    def __init__(self, day: Day, pace: Pace) -> None:
        self.clock = Environment()
        self.people = _Shared(self.clock, day.people)
        self.rooms = Resource(self.clock, day.rooms)
        self.tubs = _Shared(self.clock, day.tubs)
        self.probes = _numbered(self.clock, day.probes - day.unready)
        self.baths = _numbered(self.clock, day.baths)
        self.exam = day.exam // SECOND
        self.takes = {part.name: getattr(pace, part.name) // SECOND for part in fields(pace)}

    def passes(self, part: str) -> Event:
        return self.clock.timeout(self.takes[part])


def _numbered(clock: Environment, count: int) -> PriorityStore:
    """So many things from 1 on; the lowest number that is free is taken first."""
    store = PriorityStore(clock)
    store.items.extend(range(1, count + 1))
    return store


Seen = dict[str, int]
"""The fields of a turn as they become known, its times in seconds."""
Doing = Generator[Event, Any, None]
Way = Callable[[_Floor, Seen], Doing]


def schedules(day: Day, pace: Pace) -> tuple[Schedule, ...]:
    """The day as it goes by each way of working.

    Source: the spans of *pace*, which come from the protocol or are marked common practice.
    """
    return tuple(_run(day, pace, way) for way in (_in_turns, _in_one_go))


def _run(day: Day, pace: Pace, way: Way) -> Schedule:
    floor = _Floor(day, pace)
    firsts: list[Seen] = [
        {"patient": 0, "probe": number + 1, "examined_from": 0}
        for number in range(day.probes - day.unready, day.probes)
    ]
    patients: list[Seen] = [{"patient": number + 1} for number in range(day.patients)]
    for seen in firsts:
        floor.clock.process(_cycle(floor, seen, way))
    for seen in patients:
        floor.clock.process(_patient(floor, seen, way))
    floor.clock.run()
    all_seen = [*firsts, *patients]
    in_use = replace(
        day,
        probes=max(seen["probe"] for seen in all_seen),
        baths=max(seen["bath"] for seen in all_seen),
        people=floor.people.most,
        tubs=floor.tubs.most,
    )
    return Schedule(tuple(_turn(seen) for seen in all_seen), in_use)


def _turn(seen: Seen) -> Turn:
    counted = {"patient", "probe", "bath"}
    known: dict[str, Any] = {
        key: value if key in counted else value * SECOND for key, value in seen.items()
    }
    return Turn(**known)


def _patient(floor: _Floor, seen: Seen, way: Way) -> Doing:
    """One patient: a room, a probe, somebody to examine; then the probe is cleaned."""
    with floor.rooms.request() as room:
        yield room
        seen["probe"] = yield floor.probes.get()
        with floor.people.request(EXAMINE) as examiner:
            yield examiner
            _note(floor, seen, "examined_from")
            yield floor.clock.timeout(floor.exam)
    yield from _cycle(floor, seen, way)


def _cycle(floor: _Floor, seen: Seen, way: Way) -> Doing:
    """A probe is cleaned, soaks, is covered, and is there for the next patient."""
    yield from way(floor, seen)
    yield floor.passes("contact")
    with floor.people.request(FINISH) as somebody:
        yield somebody
        _note(floor, seen, "out_at")
        yield floor.baths.put(seen["bath"])
        yield floor.passes("to_cover")
    _note(floor, seen, "ready_at")
    yield floor.probes.put(seen["probe"])


def _note(floor: _Floor, seen: Seen, what: str) -> None:
    seen[what] = int(floor.clock.now)


def _in_turns(floor: _Floor, seen: Seen) -> Doing:
    """Whoever has put a probe into the detergent goes on with something else meanwhile."""
    with floor.tubs.request() as tub:
        yield tub
        with floor.people.request(CLEAN) as somebody:
            yield somebody
            yield from _put_under(floor, seen)
        time_is_up = floor.passes("detergent")
        seen["bath"] = yield floor.baths.get()
        with floor.people.request(STRIP) as somebody:
            yield somebody
            yield floor.passes("strip")
        yield time_is_up
        with floor.people.request(IMMERSE) as somebody:
            yield somebody
            yield from _rinse_and_immerse(floor, seen)


def _in_one_go(floor: _Floor, seen: Seen) -> Doing:
    """Whoever begins to clean a probe has a free bath, and stays until the probe is in it."""
    with floor.tubs.request() as tub:
        yield tub
        seen["bath"] = yield floor.baths.get()
        with floor.people.request(CLEAN) as somebody:
            yield somebody
            yield from _put_under(floor, seen)
            yield floor.passes(max("detergent", "strip", key=floor.takes.__getitem__))
            yield from _rinse_and_immerse(floor, seen)


def _put_under(floor: _Floor, seen: Seen) -> Doing:
    _note(floor, seen, "cleaned_from")
    yield floor.passes("to_detergent")
    _note(floor, seen, "under_at")


def _rinse_and_immerse(floor: _Floor, seen: Seen) -> Doing:
    _note(floor, seen, "rinsed_from")
    yield floor.passes("to_bath")
    _note(floor, seen, "in_at")

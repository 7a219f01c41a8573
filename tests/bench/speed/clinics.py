"""Clinics at every moment of a cycle, made by workers who obey: what copies are made from."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from time import perf_counter

from sqlalchemy import Connection, select

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock
from bot.store.people import keep_number, keep_person
from bot.store.tables import bell, entry, live, person, phone, site
from bot.store.transaction import Store
from flows.parts.clinic import Kind, Level, Role
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Poured,
    SiteOpened,
    StripBottleOpened,
)
from tests.kit.shell import Shell, bare_shell

BENCH_TIME = datetime(2026, 3, 2, 12, tzinfo=UTC)
"""When every template ends; a copy is shifted to whatever time it is wanted for."""
LONGEST = timedelta(minutes=60)
TICK = timedelta(seconds=30)
USUAL, STRIP, FLUSH = timedelta(seconds=60), timedelta(seconds=92), timedelta(seconds=210)
"""What hands take, what a strip takes, and three rinses of a minute each."""
IN_THE_BATH = 14
"""Answers up to IN: the probe lies in the bath, and the contact bell hangs."""
ALL = 99
"""More answers than a cycle takes."""
EXPIRES = date(2036, 3, 31)
WEEK = timedelta(days=7)

ASKED = (
    r"(\d) all purple",
    r"(IN 21\.5)",
    r"((?:OUT|RINSED) \d\d(?: \d\d\.\d)?)",
    r"[Rr]eply (?:only )?([A-Z]+(?: T\d(?: \d\d)?)?)",
    r": ([A-Z]{3,})\b",
)
READ_LATER = "read the strip after"
SOAKING = "The bell rings at"
RELEASED = "READY until"


@dataclass(frozen=True, slots=True)
class Texter:
    """A phone in the middle of something, and the right answer to what it was last asked."""

    number: str
    says: str


@dataclass(frozen=True, slots=True)
class Template:
    """All rows of one site at `BENCH_TIME`."""

    site: str
    rows: dict[str, list[dict[str, object]]]
    texters: tuple[Texter, ...]


def answer_to(asked: str) -> str | None:
    """The answer that a text asks for; None where there is nothing to answer yet."""
    if SOAKING in asked or RELEASED in asked:
        return None
    found = (re.search(pattern, asked) for pattern in ASKED)
    return next((match[1] for match in found if match), None)


def _takes(asked: str) -> timedelta:
    """What hands take for what is asked; a strip that is ready is read at once."""
    if READ_LATER in asked:
        return STRIP
    if "reply FLUSHED" in asked or "Reply FLUSHED" in asked:
        return FLUSH
    return timedelta(0) if "all purple" in asked else USUAL


@dataclass(slots=True)
class Worker:
    """Does what the last text asks, when the time for it has passed, so many times."""

    number: str
    device: str
    steps: int
    heard: str = ""
    done: int = 0
    due: datetime = BENCH_TIME
    took: list[float] = field(default_factory=list)
    """Seconds that each exchange took."""
    watch: Callable[[], None] = lambda: None
    """Called before and after each exchange."""

    def begins(self, clinic: Shell) -> None:
        self._texts(clinic, f"CLEAN {self.device}")

    def looks(self, clinic: Shell) -> None:
        self._hears(clinic)
        answer = answer_to(self.heard)
        if answer and self.done < self.steps and clinic.clock.now() >= self.due:
            self._texts(clinic, answer)
            self.done += 1

    def _texts(self, clinic: Shell, said: str) -> None:
        self.watch()
        begun = perf_counter()
        clinic.sends(self.number, said)
        self.took.append(perf_counter() - begun)
        self.watch()
        self._hears(clinic)

    def _hears(self, clinic: Shell) -> None:
        heard = clinic.heard(self.number)
        if heard and heard[-1] != self.heard:
            self.heard = heard[-1]
            self.due = clinic.clock.now() + _takes(self.heard)


class Workshop:
    """Makes templates on a scratch database, with a clock held by hand."""

    def __init__(self, store: Store) -> None:
        self._clinic = bare_shell(store, HandClock(BENCH_TIME), WebPhone())
        self._made = 0
        self.first, (self._worker,) = self._open((ALL,))
        """The site of one worker who has been through a whole cycle."""
        self._clinic.clock.set(BENCH_TIME - LONGEST)
        self._spans = self._whole_cycle(self._worker)

    @property
    def steps(self) -> int:
        """How many answers a whole cycle takes."""
        return len(self._spans) - 1

    def at(self, *steps: int) -> Template:
        """A clinic whose workers have each given so many answers, all of it up to this moment."""
        name, workers = self._open(steps)
        clock = self._clinic.clock
        begin = {each.number: BENCH_TIME - self._spans[each.steps] for each in workers}
        clock.set(min(begin.values()))
        waiting = list(workers)
        while clock.now() <= BENCH_TIME:
            for each in [each for each in waiting if clock.now() >= begin[each.number]]:
                waiting.remove(each)
                each.begins(self._clinic)
            self._tick([each for each in workers if each not in waiting])
        return self._template(name, workers)

    def walk_again(self, watch: Callable[[], None] = lambda: None) -> list[float]:
        """One more cycle of the first worker; how long each exchange took, in seconds."""
        worker = Worker(self._worker.number, self._worker.device, ALL, watch=watch)
        self._clinic.sends(worker.number, f"USED {worker.device} 0412")
        self._whole_cycle(worker)
        return worker.took

    def _whole_cycle(self, worker: Worker) -> list[timedelta]:
        """How long after CLEAN each answer of a whole cycle is given."""
        clock, spans = self._clinic.clock, [TICK]
        begun = clock.now()
        worker.begins(self._clinic)
        while RELEASED not in worker.heard:
            if clock.now() > begun + LONGEST:
                raise RuntimeError(f"The bench cannot answer this: {worker.heard}")
            done = worker.done
            self._tick([worker])
            spans += [clock.now() - begun] * (worker.done - done)
        return spans

    def _tick(self, workers: list[Worker]) -> None:
        self._clinic.exchange.ring_due()
        for each in workers:
            each.looks(self._clinic)
        self._clinic.clock.advance(TICK)

    def _open(self, steps: tuple[int, ...]) -> tuple[str, tuple[Worker, ...]]:
        self._made += 1
        name = f"template{self._made:03}"
        numbers = {f"f{at}": f"+1202{self._made:03}55{at:02}" for at in range(len(steps) + 1)}

        def register(connection: Connection) -> None:
            for known, number in numbers.items():
                keep_number(connection, name, known, number)
                keep_person(connection, name, known.replace("f", "p"), f"Name {number[-2:]}", None)

        self._clinic.clock.set(BENCH_TIME - 2 * LONGEST)
        events = tuple(_set_up(name, len(steps), self._clinic.clock.now()))
        self._clinic.exchange.set_up(name, events, register)
        workers = (
            Worker(numbers[f"f{at}"], f"V{at}", wanted) for at, wanted in enumerate(steps, 1)
        )
        return name, tuple(workers)

    def _template(self, name: str, workers: tuple[Worker, ...]) -> Template:
        rows: dict[str, list[dict[str, object]]] = {}
        with self._clinic.store.read() as connection:
            for table in (site, person, phone, entry, live, bell):
                key = table.c.id if table is site else table.c.site
                held = connection.execute(select(table).where(key == name)).mappings()
                rows[table.name] = [dict(row) for row in held]
        rows["entry"].sort(key=lambda row: int(str(row["seq"])))
        said = ((each.number, answer_to(each.heard)) for each in workers)
        return Template(name, rows, tuple(Texter(who, what) for who, what in said if what))


def _set_up(name: str, workers: int, now: datetime) -> Iterator[Event]:
    """A supervisor, so many workers with phones and devices of their own, and a bath for each."""
    week = now + WEEK
    yield SiteOpened(name, "Etc/UTC", "23:59", "en", "dmy")
    yield PersonEnrolled("p0", 1, Role.SUPERVISOR, Level.COACH, may_release=True, language="en")
    yield PhoneEnrolled("f0", ("p0",), shared=False)
    yield JugOpened("J1", "opa_055", "L1", EXPIRES, now, week, "jug_open_life")
    yield Poured(
        "B1", Kind.BOTTLE, "J1", "opa_055", "L1", now, week, "reuse_life", topped_up=False
    )
    yield StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, now, week, checked=True)
    for at in range(1, workers + 1):
        yield PersonEnrolled(
            f"p{at}", at + 1, Role.WORKER, Level.COACH, may_release=True, language="en"
        )
        yield PhoneEnrolled(f"f{at}", (f"p{at}",), shared=False)
        yield DeviceEnrolled(f"V{at}", "handheld_probe")
        yield Poured(
            f"T{at}", Kind.BATH, "B1", "opa_055", "L1", now, week, "reuse_life", topped_up=False
        )

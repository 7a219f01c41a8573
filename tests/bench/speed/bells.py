"""How late bells ring: from the time they are due until the outbox's commit is seen by another.

The clinics are copies of one whose probe lies in the bath; each copy's contact bell is due at its
own moment. Bells that wait for another day stand in rows of sites of their own.
"""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice
from math import inf
from pathlib import Path
from statistics import quantiles
from time import perf_counter
from typing import Any

from sqlalchemy import text

from bot.clock import machine_time
from bot.store.live import body_of
from bot.store.tables import bell, site
from bot.store.transaction import GENESIS, Store
from flows.parts.clinic import Bell
from tests.bench.speed.clinics import BENCH_TIME, IN_THE_BATH, Template, Workshop
from tests.bench.speed.copies import copied, due_of, fill, insert_all
from tests.bench.speed.databases import Database, opened
from tests.bench.speed.processes import (
    environment,
    free_port,
    pause,
    running,
    wait_until_up,
)
from tests.bench.speed.table import Row, at_most

LATEST_S = 1.0
LONGEST_START_S = 5.0
LOOK_EVERY_S = 0.02
"""The lateness of each bell is known to so much."""
AT_A_SITE = 10
"""Waiting bells of one site."""
GIVEN_UP = timedelta(seconds=120)


@dataclass(frozen=True, slots=True)
class Size:
    due: int
    """Bells, spread evenly over `within`, each of another site."""
    waiting: int
    within: timedelta


MINUTE = timedelta(minutes=1)
FULL = (Size(1_000, 100_000, MINUTE), Size(10_000, 100_000, MINUTE))
QUICK = (Size(160, 20_000, timedelta(seconds=10)),)
TINY = (Size(2, 20, timedelta(seconds=0.2)),)


def bells(database: Database, sizes: tuple[Size, ...], folder: Path) -> Iterator[Row]:
    with opened(database.create()) as scratch:
        template = Workshop(scratch).at(IN_THE_BATH)
    for size in sizes:
        yield from _of_size(database, template, size, folder)


def _of_size(database: Database, template: Template, size: Size, folder: Path) -> Iterator[Row]:
    url = database.create()
    with opened(url) as store:
        _hang(store, size.waiting)
        overdue = _due(store, template, 1, machine_time() - MINUTE, MINUTE, first=0)
        watch = Watch(store)
        with _ringing(url, database.processes, folder) as started:
            watch.until(overdue, machine_time() + GIVEN_UP)
            took = perf_counter() - started
            begin = machine_time() + timedelta(seconds=4 + size.due / 200)
            due = _due(store, template, size.due, begin, size.within, first=1)
            if machine_time() > begin:
                raise RuntimeError("Filling took too long; some bells were late before they hung.")
            late = watch.until(due, begin + size.within + GIVEN_UP)
    span = f"{size.within.total_seconds():g} s"
    what = f"{size.due:,} bells in {span}, {size.waiting:,} waiting, workers: {database.processes}"
    yield _lateness(database, what, late)
    name = f"start to first ring, {size.waiting:,} bells live, s"
    yield at_most(name, database.name, took, LONGEST_START_S)


def _lateness(database: Database, what: str, late: list[float]) -> Row:
    cuts = quantiles(late, n=100, method="inclusive")
    told = f"s at p99; p50 {cuts[49]:.2f}, most {max(late):.2f}"
    return at_most(f"lateness of {what}", database.name, cuts[98], LATEST_S, told)


def _hang(store: Store, waiting: int) -> None:
    """Rows only: nobody asks for the record of a bell that does not ring."""
    tomorrow = machine_time() + timedelta(days=1)
    sites = [{"id": f"w{at:06}", "head": GENESIS, "seq": 0} for at in range(waiting // AT_A_SITE)]
    rows: list[dict[str, Any]] = []
    for at in range(waiting // AT_A_SITE * AT_A_SITE):
        due = tomorrow + timedelta(seconds=at)
        name = f"b{at}"
        written = body_of(Bell(name, "strip", due))
        of = sites[at // AT_A_SITE]["id"]
        rows.append({"site": of, "id": name, "place": at, "due_at": due, "body": written})
    with store.write() as connection:
        insert_all(connection, site, sites)
        insert_all(connection, bell, rows)
        connection.exec_driver_sql("ANALYZE")


def _due(  # noqa: PLR0913, PLR0917 - what, how many, and when
    store: Store, template: Template, count: int, begin: datetime, within: timedelta, first: int
) -> dict[str, datetime]:
    """Copies whose bells are due one after the other; the time of each by its site."""
    rings = due_of(template.rows) - BENCH_TIME
    dues = [begin + within * at / count for at in range(count)]
    copies = (
        copied(template, first + at, due - rings - BENCH_TIME, entries=False)[0]
        for at, due in enumerate(dues)
    )
    found: dict[str, datetime] = {}
    while some := list(islice(copies, 1_000)):
        with store.write() as connection:
            fill(connection, some)
        found |= {rows["site"][0]["id"]: due_of(rows) for rows in some}
    return found


@dataclass(slots=True)
class Watch:
    """Looks at the outbox from another process than the one that fills it."""

    store: Store
    last: int = 0

    def until(self, due: dict[str, datetime], at_latest: datetime) -> list[float]:
        """How late, in seconds, each bell was in the outbox; infinitely, where it never was."""
        waiting, late = dict(due), []
        while waiting:
            for name in self._new():
                if name in waiting:
                    late += [(machine_time() - waiting.pop(name)).total_seconds()]
            if machine_time() > at_latest:
                return late + [inf] * len(waiting)
            pause(LOOK_EVERY_S)
        return late

    def _new(self) -> list[str]:
        # Again those just before: of two that ring at once the later number may be seen first.
        wanted = text("SELECT id, site FROM outbox WHERE id > :last - 100 ORDER BY id")
        with self.store.read() as connection:
            rows = connection.execute(wanted, {"last": self.last}).all()
        self.last = rows[-1].id if rows else self.last
        return [row.site for row in rows]


@contextmanager
def _ringing(url: str, workers: int, folder: Path) -> Iterator[float]:
    """Workers beside a gateway; hands back when they were started."""
    line, log = free_port(), folder / "bells.log"
    with ExitStack() as stack:
        answering = stack.enter_context(running("tests.bench.speed.line", str(line), log=log))
        wait_until_up(line, answering)
        told = environment(url, free_port(), f"http://127.0.0.1:{line}")
        started = perf_counter()
        for _ in range(workers):
            stack.enter_context(running("bot", "worker", log=log, env=told))
        yield started

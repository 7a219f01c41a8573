"""Exchanges a second against a bare endpoint, in turns, on the same server and database."""

import pickle
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

from sqlalchemy import text

from bot.clock import machine_time
from bot.record.chain import verify
from bot.store.transaction import Store
from tests.bench.speed.clinics import BENCH_TIME, Template, Texter, Workshop
from tests.bench.speed.copies import copied, fill
from tests.bench.speed.cpu import cpu_s, rss_mb
from tests.bench.speed.databases import Database, opened
from tests.bench.speed.load import requests_for
from tests.bench.speed.processes import (
    environment,
    free_port,
    pause,
    running,
    told_by,
    wait_until_up,
)
from tests.bench.speed.table import Row, at_least

Told = dict[str, dict[str, Any]]
"""What the load told of each of the two servers in one round."""

LEAST = {"SQLite": 0.4, "PostgreSQL": 0.3}


@dataclass(frozen=True, slots=True)
class Serving:
    port: int
    pid: int


@dataclass(frozen=True, slots=True)
class Size:
    sites: int
    """In each round other ones; two phones at each, each somewhere in a cycle."""
    rounds: int
    """Of each kind: while nobody sends, and while a worker sends."""
    templates: int
    """Moments of a cycle that there are copies of."""


FULL, QUICK, TINY = Size(80, 12, 20), Size(60, 3, 8), Size(2, 1, 1)


def exchanges(database: Database, size: Size, folder: Path) -> Iterator[Row]:
    """First while nobody sends, then with a worker that sends beside: it wants a core too."""
    with opened(database.create()) as scratch:
        templates = _templates(Workshop(scratch), size.templates)
    url = database.create()
    with opened(url) as store, ExitStack() as stack:
        texters = _prepared(store, templates, size)
        servers, env, log = stack.enter_context(_servers(url, database.processes, folder))

        def rounds(turn: int) -> list[Told]:
            turns = range(turn * size.rounds, (turn + 1) * size.rounds)
            return [
                _round(servers, _in_round(texters, at, size), f"r{at}", folder) for at in turns
            ]

        yield from _rows(database, "nobody sending", rounds(0))
        stack.enter_context(running("bot", "worker", log=log, env=env))
        _wait_until_sent(store)
        sending = rounds(1)
        _wait_until_sent(store)
        _expect_whole(store, sum(map(len, texters)))
    yield from _rows(database, "a worker sending beside", sending)


def _templates(shop: Workshop, count: int) -> list[Template]:
    """Two workers each, one of them ever further on, the other somewhere else."""
    positions = (at * shop.steps // count for at in range(count))
    return [shop.at(at, (at * 7 + 3) % shop.steps) for at in positions]


def _prepared(store: Store, templates: list[Template], size: Size) -> list[tuple[Texter, ...]]:
    by = machine_time() - BENCH_TIME
    wanted = range(size.sites * size.rounds * 2)
    copies = [copied(templates[at % len(templates)], at, by) for at in wanted]
    with store.write() as connection:
        fill(connection, [rows for rows, _ in copies])
    return [texters for _, texters in copies]


def _in_round(texters: list[tuple[Texter, ...]], at: int, size: Size) -> list[Texter]:
    mine = texters[at * size.sites : (at + 1) * size.sites]
    return [each for site in mine for each in site]


@contextmanager
def _servers(
    url: str, processes: int, folder: Path
) -> Iterator[tuple[dict[str, Serving], dict[str, str], Path]]:
    """Both servers and the gateway's other side; with what a worker would be started."""
    line = free_port()
    servers: dict[str, Serving] = {}
    with ExitStack() as stack:
        log = folder / "servers.log"
        answering = stack.enter_context(running("tests.bench.speed.line", str(line), log=log))
        wait_until_up(line, answering)
        for which in ("bare", "bot"):
            port = free_port()
            told = environment(url, port, f"http://127.0.0.1:{line}")
            serving = ("tests.bench.speed.serving", which, str(port), str(processes))
            process = stack.enter_context(running(*serving, log=log, env=told))
            wait_until_up(port, process)
            servers[which] = Serving(port, process.pid)
        yield servers, told, log


def _round(servers: dict[str, Serving], texters: list[Texter], name: str, folder: Path) -> Told:
    """The same texts to the one, then to the other."""
    told: Told = {}
    for which, server in servers.items():
        texts = [
            (f"SM{name}{which}{at:08}", each.number, each.says) for at, each in enumerate(texters)
        ]
        file = folder / f"{name}{which}.requests"
        file.write_bytes(pickle.dumps(requests_for(f"http://127.0.0.1:{server.port}", texts)))
        before = cpu_s(server.pid)
        told[which] = told_by("tests.bench.speed.load", str(file), str(server.port))
        told[which] |= {"cpu_s": cpu_s(server.pid) - before, "rss_mb": rss_mb(server.pid)}
        if told[which]["refused"] or told[which]["brought"] != len(texts):
            raise RuntimeError(f"{which}: not every text was answered with 2xx: {told[which]}")
    return told


def _wait_until_sent(store: Store) -> None:
    unsent = text("SELECT count(*) FROM outbox WHERE state IN ('pending', 'claimed')")
    while True:
        with store.read() as connection:
            if connection.execute(unsent).scalar_one() == 0:
                return
        pause(0.1)


def _expect_whole(store: Store, texts: int) -> None:
    """Every text was handled, none failed, and the chains hold."""
    handled = text("SELECT count(*) FROM inbox WHERE state = 'handled'")
    some = text("SELECT id FROM site ORDER BY id LIMIT 10")
    with store.read() as connection:
        if connection.execute(handled).scalar_one() != texts:
            raise RuntimeError("Texts were lost or failed.")
        for name in connection.execute(some).scalars().all():
            if verify(connection, name):
                raise RuntimeError(f"The chain of {name} is broken.")


def _rows(database: Database, beside: str, rounds: list[Told]) -> Iterator[Row]:
    pace = _of_each(rounds, lambda told: told["brought"] / told["seconds"])
    cpu_ms = _of_each(rounds, lambda told: told["cpu_s"] / told["brought"] * 1000)
    ratios = [bot / bare for bot, bare in zip(pace["bot"], pace["bare"], strict=True)]
    spread = f"({min(ratios):.2f} to {max(ratios):.2f} in {len(ratios)} rounds)"
    what, least = f"exchanges against bare rows, {beside}", LEAST[database.name]
    yield at_least(what, database.name, median(ratios), least, spread)
    ratio = median(cpu_ms["bare"]) / median(cpu_ms["bot"])
    yield Row("the same by processor time of the servers", database.name, f"{ratio:.3g}")
    for which, what in (("bot", "exchanges a second"), ("bare", "bare rows a second")):
        slowest = max(told[which]["slowest_s"] for told in rounds)
        measured = (
            f"{median(pace[which]):.0f}; slowest answer {slowest * 1000:.0f} ms; the server's "
            f"processor time {median(cpu_ms[which]):.2f} ms each, its memory "
            f"{rounds[-1][which]['rss_mb']:.0f} MB in {database.processes} + 1 processes"
        )
        yield Row(what, database.name, measured)


def _of_each(
    rounds: list[Told], figure: Callable[[dict[str, Any]], float]
) -> dict[str, list[float]]:
    return {which: [figure(told[which]) for told in rounds] for which in ("bare", "bot")}

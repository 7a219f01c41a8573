"""`python -m tests.bench.speed [--quick | --tiny] [part...]`."""

import argparse
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench.speed import exchanges
from tests.bench.speed.clinics import Workshop
from tests.bench.speed.databases import Database, databases, opened, version_of
from tests.bench.speed.machine import machine
from tests.bench.speed.table import Row, drawn

PARTS = ("exchanges",)


def main(arguments: list[str]) -> int:
    asked = argparse.ArgumentParser(prog="tests.bench.speed", description=__doc__)
    asked.add_argument("parts", nargs="*", help=", ".join(PARTS))
    asked.add_argument("--quick", action="store_true", help="a minute, and less to rely on")
    told = asked.parse_args(arguments)
    rows: list[Row] = []
    with (
        tempfile.TemporaryDirectory(prefix="soakbell-speed-") as folder,
        databases(Path(folder)) as both,
    ):
        _say(machine(tuple(version_of(each.create()) for each in both)))
        for row in _measured(tuple(told.parts) or PARTS, both, Path(folder)):
            _say(str(row))
            rows.append(row)
    _say(drawn(rows))
    return 0


def _measured(parts: tuple[str, ...], both: tuple[Database, ...], folder: Path) -> Iterator[Row]:
    del parts
    with opened(both[0].create()) as store:
        shop = Workshop(store)
        templates = [shop.at(at, (at * 7 + 3) % shop.steps) for at in range(shop.steps)]
    for database in both:
        yield from exchanges.exchanges(database, templates, exchanges.QUICK, folder)


def _say(line: str) -> None:
    print(line, flush=True)  # noqa: T201


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

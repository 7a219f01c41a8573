"""`python -m tests.bench.speed [--quick | --tiny] [part...]`."""

import argparse
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.bench.speed import bells, exchanges, growth
from tests.bench.speed.databases import Database, databases, version_of
from tests.bench.speed.machine import machine
from tests.bench.speed.memory import memory
from tests.bench.speed.statements import statements
from tests.bench.speed.table import Row, drawn


@dataclass(frozen=True, slots=True)
class Sizes:
    """How much each part measures."""

    exchanges: exchanges.Size
    bells: tuple[bells.Size, ...]
    growth: growth.Size


FULL = Sizes(exchanges.FULL, bells.FULL, growth.FULL)
QUICK = Sizes(exchanges.QUICK, bells.QUICK, growth.QUICK)
TINY = Sizes(exchanges.TINY, bells.TINY, growth.TINY)

Part = Callable[[Database, Sizes, Path], Iterator[Row]]

PARTS: Mapping[str, Part] = {
    "exchanges": lambda on, sizes, folder: exchanges.exchanges(on, sizes.exchanges, folder),
    "statements": lambda on, _, __: statements(on),
    "bells": lambda on, sizes, folder: bells.bells(on, sizes.bells, folder),
    "growth": lambda on, sizes, _: growth.growth(on, sizes.growth),
    "memory": lambda on, _, __: memory(on),
}


def main(arguments: list[str]) -> int:
    """Measure, print a table; 1 where something that is wanted is missed."""
    asked = argparse.ArgumentParser(prog="tests.bench.speed", description=__doc__)
    asked.add_argument("parts", nargs="*", metavar="part", help=", ".join(PARTS))
    asked.add_argument("--quick", action="store_true", help="a minute, and less to rely on")
    asked.add_argument("--tiny", action="store_true", help="whether it runs at all; SQLite alone")
    told = asked.parse_args(arguments)
    sizes = TINY if told.tiny else QUICK if told.quick else FULL
    parts = [PARTS[name] for name in told.parts or PARTS]
    with tempfile.TemporaryDirectory(prefix="soakbell-speed-") as held:
        folder = Path(held)
        with databases(folder, sqlite_alone=told.tiny) as found:
            _say(machine(tuple(version_of(each.create()) for each in found)))
            rows = [
                _said(row) for part in parts for on in found for row in part(on, sizes, folder)
            ]
    _say(drawn(rows))
    return 1 if any(row.is_met is False for row in rows) else 0


def _said(row: Row) -> Row:
    """As soon as it is known: a full run takes ten minutes."""
    _say(f"{row.database}: {row.what}: {row.measured} {row.verdict}")
    return row


def _say(line: str) -> None:
    print(line, flush=True)  # noqa: T201


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

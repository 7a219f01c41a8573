"""Whether an answer takes longer as the record grows: the same cycle behind ever longer chains.

The entries are those of one finished cycle, over and over under new names, each holding on to the
one before it; all of them in the chain of the one site that is asked. Sizes take turns.
"""

from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from itertools import islice
from statistics import median
from typing import Any

from sqlalchemy import Connection, bindparam, select, update

from bot.record.chain import verify
from bot.record.link import link
from bot.store.tables import entry
from bot.store.tables import site as sites
from bot.store.transaction import Store
from tests.bench.speed.clinics import Workshop
from tests.bench.speed.copies import AT_A_TIME, insert_all
from tests.bench.speed.databases import Database, opened
from tests.bench.speed.table import Row, at_most

MOST = 1.1
FEW_ENOUGH_TO_VERIFY = 20_000


@dataclass(frozen=True, slots=True)
class Size:
    entries: tuple[int, ...]
    cycles: int
    """Walked through at each size, in turns."""


FULL = Size((1_000, 100_000, 1_000_000), 4)
QUICK = Size((1_000, 20_000), 3)
TINY = Size((100, 200), 1)


def growth(database: Database, size: Size) -> Iterator[Row]:
    with ExitStack() as stack:
        grown = [
            Grown(stack.enter_context(opened(database.create())), count) for count in size.entries
        ]
        for _ in range(size.cycles):
            for each in grown:
                each.walk()
        for each in grown:
            each.expect_whole()
    first = median(grown[0].took)
    for each in grown:
        now = median(each.took)
        what = f"an exchange at {each.entries:,} entries, ms"
        told = f"{now * 1000:.2f}, the median over {len(each.took)} texts"
        yield Row(what, database.name, told)
    last = grown[-1]
    what = f"growth from {grown[0].entries:,} to {last.entries:,} entries"
    yield at_most(what, database.name, median(last.took) / first, MOST)


@dataclass(slots=True)
class Grown:
    """A clinic whose record has been made so long, and a worker at its sink."""

    store: Store
    entries: int
    took: list[float] = field(default_factory=list)
    shop: Workshop = field(init=False)

    def __post_init__(self) -> None:
        self.shop = Workshop(self.store)
        name = self.shop.first
        with self.store.write() as connection:
            held = _entries(connection, name)
            more = _again(held, self.entries - len(held))
            while some := list(islice(more, AT_A_TIME)):
                insert_all(connection, entry, some)
                head = {"of": name, "seq": some[-1]["seq"], "head": some[-1]["hash"]}
                connection.execute(_HEAD, head)
            connection.exec_driver_sql("ANALYZE")

    def walk(self) -> None:
        """One more cycle of the same worker; how long each answer took is kept."""
        self.took += self.shop.walk_again()

    def expect_whole(self) -> None:
        if self.entries <= FEW_ENOUGH_TO_VERIFY:
            with self.store.read() as connection:
                if verify(connection, self.shop.first):
                    raise RuntimeError("The filled chain is broken.")


_HEAD = update(sites).where(sites.c.id == bindparam("of"))


def _entries(connection: Connection, name: str) -> list[dict[str, Any]]:
    wanted = select(entry).where(entry.c.site == name).order_by(entry.c.seq)
    return [dict(row) for row in connection.execute(wanted).mappings()]


def _again(held: list[dict[str, Any]], count: int) -> Iterator[dict[str, Any]]:
    """So many entries more: those of the cycle that has ended, each time as another cycle."""
    of_cycle = [row for row in held if row["cycle"]]
    seq, head = held[-1]["seq"], held[-1]["hash"]
    for at in range(count):
        row = of_cycle[at % len(of_cycle)]
        cycle = f"{row['cycle']}x{at // len(of_cycle)}"
        seq += 1
        body = row["body"].replace(row["cycle"], cycle)
        body = body.replace(f'"seq":{row["seq"]},"site"', f'"seq":{seq},"site"')
        linked = row | {"seq": seq, "cycle": cycle, "body": body, "prev": head}
        head = linked["hash"] = link(head, body)
        yield linked

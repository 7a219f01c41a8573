"""What a clinic weighs while an exchange holds it: between exchanges the bot holds none."""

import gc
import tracemalloc
from collections.abc import Iterator

from bot.store.live import load
from bot.store.transaction import Store
from tests.bench.speed.clinics import IN_THE_BATH, Workshop
from tests.bench.speed.databases import Database, opened
from tests.bench.speed.table import Row

LOADED = 200
"""Times that each clinic is held, so that what is measured is large."""


def memory(database: Database) -> Iterator[Row]:
    """The same clinic idle, and with one cycle in hand, its question and its bell with it."""
    with opened(database.create()) as store:
        shop = Workshop(store)
        without, with_one = _bytes(store, shop.first), _bytes(store, shop.at(IN_THE_BATH).site)
    yield Row("a clinic between cycles, loaded", database.name, f"{without / 1024:.1f} KiB")
    told = f"{(with_one - without) / 1024:.1f} KiB more"
    yield Row("a live cycle", database.name, told)


def _bytes(store: Store, site: str) -> float:
    with store.read() as connection:
        load(connection, site)  # what is kept once for all stands before we count
        gc.collect()
        tracemalloc.start()
        held = [load(connection, site) for _ in range(LOADED)]
        gc.collect()
        weight, _ = tracemalloc.get_traced_memory()
        tracemalloc.stop()
    return weight / len(held)

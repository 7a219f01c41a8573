"""What a clinic weighs: when nothing of it is remembered, and when all of it is."""

import gc
import tracemalloc
from collections.abc import Iterator

from bot.store.live import load, read_body
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
        idle, busy = shop.first, shop.at(IN_THE_BATH).site
        for how, remembered in (("nothing remembered", False), ("all remembered", True)):
            without = _bytes(store, idle, remembered=remembered)
            with_one = _bytes(store, busy, remembered=remembered)
            yield Row(f"a clinic loaded, {how}", database.name, f"{without / 1024:.1f} KiB")
            told = f"{(with_one - without) / 1024:.1f} KiB more"
            yield Row(f"a live cycle, {how}", database.name, told)


def _bytes(store: Store, site: str, *, remembered: bool) -> float:
    with store.read() as connection:
        load(connection, site)  # what is kept once for all stands before we count
        gc.collect()
        tracemalloc.start()
        held = []
        for _ in range(LOADED):
            if not remembered:
                read_body.cache_clear()
            held.append(load(connection, site))
        gc.collect()
        weight, _ = tracemalloc.get_traced_memory()
        tracemalloc.stop()
    return weight / len(held)

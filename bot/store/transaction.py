"""One unit of work: lock the site, then load; everything of an exchange, or nothing."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, Select, bindparam, func, select

from bot.store.away import away_is_said
from bot.store.errors import SiteUnknown, StoreAway
from bot.store.live import Loaded, load
from bot.store.tables import site as sites
from bot.store.together import Together
from bot.store.upsert import insert_new
from flows.parts.clinic import Clinic

T = TypeVar("T")

GENESIS = "0" * 64
"""What the first entry of a chain follows."""


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

    @property
    def moment(self) -> datetime | None:
        """When it was locked, by the database's own clock where it has one."""
        return self.loaded.moment


@dataclass(frozen=True, slots=True)
class Store:
    """Two engines on one database: one writes, the other only reads, and neither waits for it."""

    writing: Engine
    reading: Engine
    turn: Callable[[], AbstractContextManager[None]]
    version: str
    looking: Engine
    """For a question of one statement, outside of any transaction."""
    together: Together[Any] = field(default_factory=Together)
    """The exchanges of this process that wait for each other."""

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """One transaction that writes; committed as a whole, or not at all. Raises StoreAway."""
        with away_is_said(), self.turn(), self.writing.begin() as connection:
            yield connection

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """One moment of the database; nothing can be written. Raises StoreAway."""
        with away_is_said(), self.reading.begin() as connection:
            yield connection

    def look(self, ask: Callable[[Connection], T]) -> T:
        """The answer to a question of one statement, on a new line if the old one broke.

        Raises StoreAway.
        """
        try:
            return self._asked(ask)
        except StoreAway:
            return self._asked(ask)

    def _asked(self, ask: Callable[[Connection], T]) -> T:
        with away_is_said(), self.looking.connect() as connection:
            return ask(connection)

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
        """PostgreSQL's own time: one clock for all machines that share it. Raises StoreAway."""
        moment: datetime = self.look(lambda connection: connection.execute(_TIME).scalar_one())
        return moment.astimezone(UTC)

    def close(self) -> None:
        self.writing.dispose()
        self.reading.dispose()
        self.looking.dispose()


def unit_on(connection: Connection, site: str) -> Unit:
    """The first two statements of an exchange, in this order and apart."""
    seq, head = lock(connection, site)
    return Unit(connection, site, seq, head, load(connection, site))


def unit_if_free(connection: Connection, site: str) -> Unit | None:
    """The same, of a site that nobody else has locked; None where it is held, or unknown."""
    found = connection.execute(_HEAD_IF_FREE, {"of": site}).one_or_none()
    if found is None:
        return None
    return Unit(connection, site, found.seq, found.head, load(connection, site))


def lock(connection: Connection, site: str) -> tuple[int, str]:
    """Number and hash of a chain's last entry, and nobody else at it until the end."""
    return _head(connection, site, _HEAD_LOCKED)


def head(connection: Connection, site: str) -> tuple[int, str]:
    """The same for whoever only reads. Raises SiteUnknown, as that does."""
    return _head(connection, site, _HEAD)


_TIME = select(func.clock_timestamp())
_HEAD = select(sites.c.seq, sites.c.head).where(sites.c.id == bindparam("of"))
_HEAD_LOCKED = _HEAD.with_for_update()
_HEAD_IF_FREE = _HEAD.with_for_update(skip_locked=True)


def _head(connection: Connection, site: str, wanted: Select[tuple[int, str]]) -> tuple[int, str]:
    found = connection.execute(wanted, {"of": site}).one_or_none()
    if found is None:
        raise SiteUnknown(site)
    return found.seq, found.head

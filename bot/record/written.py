"""Entries as they stand, hashes included: for those who check them. Reads, never writes."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property

from sqlalchemy import Connection, Select, select

from bot.record.entry import read_entry
from bot.record.read import AT_A_TIME
from bot.store.tables import entry
from bot.store.tables import site as sites
from flows.parts.events import Stamped


@dataclass(frozen=True)
class Written:
    """One entry: its body as hashed, the hash before it and its own."""

    site: str
    seq: int
    body: str
    prev: str
    hash: str

    @cached_property
    def stamped(self) -> Stamped:
        """What it says. Raises EntryUnreadable."""
        return read_entry(self.body).stamped

    @property
    def kind(self) -> str:
        return type(self.stamped.event).__name__


def all_written(connection: Connection, site: str) -> Iterator[Written]:
    """Every entry of a site, oldest first, a few hundred at a time."""
    wanted = _wanted(site).order_by(entry.c.seq).execution_options(yield_per=AT_A_TIME)
    with connection.execute(wanted) as rows:
        for row in rows.mappings():
            yield Written(**row)


def of_kinds(connection: Connection, site: str, kinds: Collection[str]) -> list[Written]:
    """The entries of these kinds, oldest first."""
    wanted = _wanted(site).where(entry.c.kind.in_(kinds)).order_by(entry.c.seq)
    return [Written(**row) for row in connection.execute(wanted).mappings()]


def of_number(connection: Connection, site: str, seq: int) -> Written | None:
    """One entry; None where the chain has none of that number."""
    found = connection.execute(_wanted(site).where(entry.c.seq == seq)).mappings().one_or_none()
    return Written(**found) if found else None


def around_cycle(connection: Connection, site: str, cycle: str) -> list[Written]:
    """All that the site did from the first to the last entry of a cycle; none for no cycle."""
    own = select(entry.c.seq).where(entry.c.site == site, entry.c.cycle == cycle)
    seqs = connection.execute(own).scalars().all()
    if not seqs:
        return []
    span = entry.c.seq.between(min(seqs), max(seqs))
    wanted = _wanted(site).where(span).order_by(entry.c.seq)
    return [Written(**row) for row in connection.execute(wanted).mappings()]


def heads(connection: Connection) -> list[tuple[str, int, str]]:
    """Each chain's name, the number of its last entry, and that entry's hash."""
    wanted = select(sites.c.id, sites.c.seq, sites.c.head).order_by(sites.c.id)
    return [(row.id, row.seq, row.head) for row in connection.execute(wanted)]


def sites_in(connection: Connection) -> tuple[str, ...]:
    """Every chain of the store, the programme's own among them."""
    return tuple(connection.execute(select(sites.c.id).order_by(sites.c.id)).scalars())


def _wanted(site: str) -> Select[tuple[str, int, str, str, str]]:
    columns = (entry.c.site, entry.c.seq, entry.c.body, entry.c.prev, entry.c.hash)
    return select(*columns).where(entry.c.site == site)

"""Entries by cycle and by kind. Reads, never writes."""

from collections.abc import Iterator
from datetime import datetime

from sqlalchemy import ColumnElement, Connection, Select, select

from bot.record.entry import Entry, read_entry
from bot.store.tables import entry
from flows.parts.events import Event, Stamped

AT_A_TIME = 500


def all_entries(connection: Connection, site: str) -> Iterator[Entry]:
    """Every entry of a site, oldest first, a few hundred at a time."""
    wanted = _wanted(site).execution_options(yield_per=AT_A_TIME)
    # Closed whatever happens: PostgreSQL holds an open cursor for a reading that broke off.
    with connection.execute(wanted) as rows:
        for body in rows.scalars():
            yield read_entry(body)


def last_at(connection: Connection, site: str) -> datetime | None:
    """When the last entry of a site was written, by the clock of then; None for no entry."""
    wanted = select(entry.c.at).where(entry.c.site == site).order_by(entry.c.seq.desc()).limit(1)
    return connection.execute(wanted).scalar_one_or_none()


def of_cycle(connection: Connection, site: str, cycle: str) -> Iterator[Entry]:
    return _entries(connection, site, entry.c.cycle == cycle)


def of_kind(connection: Connection, site: str, *kinds: str) -> Iterator[Entry]:
    return _entries(connection, site, entry.c.kind.in_(kinds))


def history(connection: Connection, site: str, cycle: str) -> tuple[Stamped, ...]:
    """What a release is earned from: all that the record holds of one cycle, oldest first."""
    return tuple(each.stamped for each in of_cycle(connection, site, cycle))


def past(
    connection: Connection, site: str, kinds: tuple[type[Event], ...], since: datetime
) -> tuple[Stamped, ...]:
    """What use is estimated from: entries of these kinds since a moment, oldest first."""
    names = [kind.__name__ for kind in kinds]
    wanted = _entries(connection, site, entry.c.kind.in_(names), entry.c.at >= since)
    return tuple(each.stamped for each in wanted)


def _entries(
    connection: Connection, site: str, *conditions: ColumnElement[bool]
) -> Iterator[Entry]:
    bodies = connection.execute(_wanted(site, *conditions)).scalars()
    return (read_entry(body) for body in bodies)


def _wanted(site: str, *conditions: ColumnElement[bool]) -> Select[str]:
    return select(entry.c.body).where(entry.c.site == site, *conditions).order_by(entry.c.seq)

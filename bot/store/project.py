"""The only writer of what is true now: a clinic, before and after -> rows."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import dropwhile
from typing import Any

from sqlalchemy import Connection, bindparam, case, delete

from bot.store.live import BELLS, ROOMS, SITE, Loaded, Places, body_of, things_of
from bot.store.tables import bell, live
from bot.store.upsert import upsert
from flows.parts.clinic import Clinic


@dataclass(slots=True)
class _Changes:
    put: list[tuple[str, str, Any]] = field(default_factory=list)
    gone: list[tuple[str, str]] = field(default_factory=list)
    places: Places = field(default_factory=dict)


def project(connection: Connection, site: str, before: Loaded, after: Clinic) -> Loaded:
    """Write what differs between *before* and *after*, in at most two statements a table."""
    changes = _Changes(places=dict(before.places))
    last = max(before.places.values(), default=0)
    for room in (SITE, *ROOMS):
        was, is_now = things_of(before.clinic, room), things_of(after, room)
        last = _compare(changes, room, was, is_now, last)
    _write_live(connection, site, changes)
    _write_bells(connection, site, changes)
    return Loaded(after, changes.places, before.moment)


def project_anew(connection: Connection, site: str, clinic: Clinic) -> None:
    """Make the rows say *clinic*, whatever they said before; claims of its bells stand."""
    connection.execute(delete(live).where(live.c.site == site))
    connection.execute(delete(bell).where(bell.c.site == site, bell.c.id.not_in([*clinic.bells])))
    project(connection, site, Loaded(), clinic)


def _compare(
    changes: _Changes, room: str, before: Mapping[str, Any], after: Mapping[str, Any], last: int
) -> int:
    if before is after:
        return last
    for key in before:
        if key not in after:
            changes.gone.append((room, key))
            del changes.places[room, key]
    moved = set(_not_where_they_were(before, after))
    for key, thing in after.items():
        if key in moved:
            last += 1
            changes.places[room, key] = last
        if key in moved or not _same(before[key], thing):
            changes.put.append((room, key, thing))
    return last


def _not_where_they_were(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    """The keys from the first on that is new or has gone behind others."""
    still = iter(before)
    return dropwhile(lambda key: key in still, after)


def _same(one: object, other: object) -> bool:
    return one is other or one == other


def _write_live(connection: Connection, site: str, changes: _Changes) -> None:
    rows = [
        {
            "site": site,
            "room": room,
            "key": key,
            "place": changes.places[room, key],
            "body": body_of(thing),
        }
        for room, key, thing in changes.put
        if room != BELLS
    ]
    gone = [{"of": site, "in": room, "at": key} for room, key in changes.gone if room != BELLS]
    if rows:
        connection.execute(upsert(connection, live, "place", "body"), rows)
    if gone:
        connection.execute(_LIVE_GONE, gone)


def _write_bells(connection: Connection, site: str, changes: _Changes) -> None:
    rows = [
        {
            "site": site,
            "id": key,
            "place": changes.places[room, key],
            "due_at": thing.due,
            "body": body_of(thing),
        }
        for room, key, thing in changes.put
        if room == BELLS
    ]
    gone = [{"of": site, "at": key} for room, key in changes.gone if room == BELLS]
    if rows:
        connection.execute(_bell_upsert(connection), rows)
    if gone:
        connection.execute(_BELL_GONE, gone)


def _bell_upsert(connection: Connection) -> Any:
    """A claim outlives a change of the bell's words, but not of its time.

    Attempts are never set back: an old claim must not look like a new one.
    """
    return upsert(connection, bell, "place", "due_at", "body", lease_until=_lease)


def _lease(new: Any) -> Any:
    return case((bell.c.due_at == new.due_at, bell.c.lease_until), else_=None)


_LIVE_GONE = delete(live).where(
    live.c.site == bindparam("of"), live.c.room == bindparam("in"), live.c.key == bindparam("at")
)
_BELL_GONE = delete(bell).where(bell.c.site == bindparam("of"), bell.c.id == bindparam("at"))

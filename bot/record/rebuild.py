"""Fold the whole record again and compare: the rows must say what the entries say."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, select

from bot.record.append import replace_rows
from bot.record.read import all_entries
from bot.store.live import BELLS, ROOMS, SITE, body_of, thing_of, things_of
from bot.store.tables import bell, live
from bot.store.transaction import Store, head, lock
from flows.parts.clinic import Bell, Clinic
from flows.parts.encoding import encode
from flows.parts.state import fold_all

Told = Mapping[str, Mapping[str, str]]
"""What stands in each room, by key, in order, as text."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A row that says something else than the record; None where one of them says nothing."""

    site: str
    room: str
    key: str
    row: str | None
    record: str | None


def rebuild(store: Store, site: str, *, check: bool = True) -> list[Difference]:
    """What the rows of *site* say otherwise than its record; with *check* false, put right.

    A check reads one moment of the database and keeps nobody waiting, however long the record is.
    Raises SiteUnknown, and EntryUnreadable where the record itself cannot be read: verify first.
    """
    with store.read() if check else store.write() as connection:
        (head if check else lock)(connection, site)
        stamped = (entry.stamped for entry in all_entries(connection, site))
        recorded = fold_all(Clinic(), stamped)
        rows, record = _told_by_rows(connection, site), _told_by_record(recorded)
        found = list(_differences(site, rows, record))
        if found and not check:
            replace_rows(connection, site, recorded)
        return found


def _differences(site: str, rows: Told, record: Told) -> Iterator[Difference]:
    for room in (SITE, *ROOMS):
        said, meant = rows.get(room, {}), record.get(room, {})
        for key in {**said, **meant}:
            if said.get(key) != meant.get(key):
                yield Difference(site, room, key, said.get(key), meant.get(key))
        if [*said] != [*meant] and {*said} == {*meant}:
            yield Difference(site, room, "in order", " ".join(said), " ".join(meant))


def _told_by_record(recorded: Clinic) -> Told:
    told = {
        room: {key: body_of(thing) for key, thing in things_of(recorded, room).items()}
        for room in (SITE, *ROOMS)
    }
    for key, thing in recorded.bells.items():
        told[BELLS][key] = _with_time(thing, body_of(thing))
    return told


def _told_by_rows(connection: Connection, site: str) -> Told:
    told: dict[str, dict[str, str]] = {}
    things = select(live.c.room, live.c.key, live.c.body).where(live.c.site == site)
    for room, key, body in connection.execute(things.order_by(live.c.place)):
        told.setdefault(room, {})[key] = _as_read(room, body)
    bells = select(bell.c.id, bell.c.due_at, bell.c.body).where(bell.c.site == site)
    for key, due, body in connection.execute(bells.order_by(bell.c.place)):
        told.setdefault(BELLS, {})[key] = f"{encode(due)} {_as_read(BELLS, body)}"
    return told


def _as_read(room: str, body: str) -> str:
    """What this release makes of a row: one that an older release wrote may lack a field."""
    try:
        return body_of(thing_of(room, json.loads(body)))
    except (KeyError, TypeError, ValueError):
        return body


def _with_time(thing: Bell, body: str) -> str:
    return f"{encode(thing.due)} {body}"

"""What is true of one site now, read from its rows in one statement."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from operator import itemgetter
from types import MappingProxyType
from typing import Any, get_args, get_type_hints

from sqlalchemy import (
    Connection,
    DateTime,
    Text,
    bindparam,
    cast,
    func,
    literal,
    null,
    select,
    union_all,
)

from bot.store.tables import bell, live
from flows.parts.clinic import Clinic, Site
from flows.parts.encoding import as_text, decode, encode
from flows.parts.state.world import TIMED

SITE = "site"
BELLS = "bells"

ROOMS: Mapping[str, type] = MappingProxyType(
    {room: get_args(kind)[1] for room, kind in get_type_hints(Clinic).items() if room != SITE}
)
"""The rooms of a clinic and what stands in each; the site itself is a room of one."""

REMEMBERED = 4096
"""Bodies, a kilobyte or two each, read before: those of some two hundred clinics."""

Places = dict[tuple[str, str], int]
"""Where each thing stands, by room and key: the order in which things came has a meaning."""


@dataclass(frozen=True, slots=True)
class Loaded:
    clinic: Clinic = field(default_factory=Clinic)
    places: Places = field(default_factory=dict)
    moment: datetime | None = None
    """When it was read, by the database's own clock where it has one."""


def load(connection: Connection, site: str) -> Loaded:
    """The clinic of *site*. Lock the site row first, in a statement of its own.

    In one statement with the lock PostgreSQL would join fresh to stale rows.
    """
    said, moment = connection.execute(_ALL_ROOMS[connection.dialect.name], {"of": site}).one()
    rows = sorted(json.loads(said or "[]"), key=_place)
    places = {(room, key): place for room, key, _, place in rows}
    return Loaded(_clinic(rows), places, moment and moment.astimezone(UTC))


_place = itemgetter(3)


def live_sites(connection: Connection) -> tuple[str, ...]:
    """Every site that has been opened."""
    opened = select(live.c.site).where(live.c.room == SITE).order_by(live.c.site)
    return tuple(connection.execute(opened).scalars())


def timed_sites(connection: Connection) -> tuple[str, ...]:
    """Sites where something stands in a liquid or waits to be read: what a clock must not jump."""
    bells = connection.execute(select(bell.c.site, bell.c.body)).all()
    cycles = connection.execute(select(live.c.site, live.c.body).where(live.c.room == "cycles"))
    timed = {site for site, body in bells if json.loads(body)["kind"] in TIMED}
    return tuple(sorted(timed | {site for site, body in cycles if _soaks(json.loads(body))}))


def _soaks(cycle: Mapping[str, Any]) -> bool:
    return cycle["contact"] is not None or cycle["detergent"] is not None


def body_of(thing: Any) -> str:
    """*thing* as the text its row holds; equal things give equal texts."""
    return as_text(encode(thing))


def things_of(clinic: Clinic, room: str) -> Mapping[str, Any]:
    """What stands in a room, by key, in order."""
    if room != SITE:
        things: Mapping[str, Any] = getattr(clinic, room)
        return things
    return {clinic.site.id: clinic.site} if clinic.site else {}


def _clinic(rows: Sequence[Any]) -> Clinic:
    rooms: dict[str, dict[str, Any]] = {room: {} for room in (SITE, *ROOMS)}
    for room, key, body, _ in rows:
        rooms[room][key] = read_body(room, body)
    (site, *_) = (*rooms.pop(SITE).values(), None)
    return Clinic(site=site, **{room: MappingProxyType(rooms[room]) for room in ROOMS})


@lru_cache(maxsize=REMEMBERED)
def read_body(room: str, body: str) -> Any:
    """Equal bytes are the same thing, and nobody can change it; most of a clinic stands still."""
    return thing_of(room, json.loads(body))


def thing_of(room: str, plain: Any) -> Any:
    """What stands in a room, from its row's body. Raises KeyError, TypeError or ValueError."""
    return decode(Site if room == SITE else ROOMS[room], plain)


def _all_rooms(array: Any, of_arrays: Any, moment: Any) -> Any:
    """All rows in one: with each row that is handed over SQLite lets another thread go first.

    The time comes with them, and so from under the lock.
    """
    here: Any = bindparam("of")
    things = select(live.c.room, live.c.key, live.c.body, live.c.place).where(live.c.site == here)
    bells = select(literal(BELLS), bell.c.id, bell.c.body, bell.c.place).where(bell.c.site == here)
    both = union_all(things, bells).subquery()
    return select(cast(of_arrays(array(*both.c)), Text), moment)


_ALL_ROOMS = {
    "sqlite": _all_rooms(func.json_array, func.json_group_array, null()),
    "postgresql": _all_rooms(
        func.json_build_array,
        func.json_agg,
        func.clock_timestamp(type_=DateTime(timezone=True)),
    ),
}

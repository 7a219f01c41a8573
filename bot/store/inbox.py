"""Rows of texts that came in, each once (S10)."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, func, select

from bot.store.tables import inbox
from bot.store.upsert import insert_new


@dataclass(frozen=True, slots=True)
class Arrived:
    """A text as it is kept: a PIN in it is masked already."""

    sid: str
    site: str
    phone: str
    person: str | None
    channel: str
    body: str
    arrived_at: datetime
    sent_at: datetime | None
    raw: str


def add_once(
    connection: Connection, arrived: Arrived, now: datetime, error: str | None = None
) -> bool:
    """Keep a text, in the transaction of what it does. False where it was handled before."""
    row = {
        "sid": arrived.sid,
        "site": arrived.site,
        "phone": arrived.phone,
        "person": arrived.person,
        "channel": arrived.channel,
        "body": arrived.body,
        "arrived_at": arrived.arrived_at,
        "sent_at": arrived.sent_at,
        "raw": arrived.raw,
        "handled_at": now,
        "state": "failed" if error else "handled",
        "error": error,
    }
    kept = insert_new(connection, inbox, inbox.c.id)
    return connection.execute(kept, row).one_or_none() is not None


def last_arrival(connection: Connection) -> datetime | None:
    """When the text came that came last, on whatever channel."""
    moment: datetime | None = connection.execute(select(func.max(inbox.c.arrived_at))).scalar_one()
    return moment


def known_sids(connection: Connection, sids: list[str]) -> frozenset[str]:
    """Which of these have been taken in."""
    return frozenset(
        connection.execute(select(inbox.c.sid).where(inbox.c.sid.in_(sids))).scalars()
    )

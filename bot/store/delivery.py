"""Rows of delivery reports: kept as they came, and told once to whom they matter."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, or_, select, update

from bot.store.outbox import phone_now
from bot.store.tables import outbox, outbox_status
from bot.store.upsert import insert_new


@dataclass(frozen=True, slots=True)
class Reported:
    """The text that a report is about; its row is locked."""

    id: int
    gateway_sid: str | None
    last_status: str | None
    phone_reachable: bool


@dataclass(frozen=True, slots=True)
class Untold:
    """A report that something follows from, which the exchange has not heard of."""

    report: int
    outbox: int
    site: str
    phone: str
    status: str
    error_code: str | None
    fact: str
    opted_out: bool


def find(connection: Connection, *, outbox_id: int | None, sid: str) -> Reported | None:
    """By our own id where there is one, or else by the gateway's name for the text."""
    which = outbox.c.id == outbox_id if outbox_id is not None else outbox.c.gateway_sid == sid
    row = connection.execute(
        select(outbox).where(which).order_by(outbox.c.id).limit(1).with_for_update()
    ).one_or_none()
    if row is None:
        return None
    reachable, _ = phone_now(connection, row.site, row.phone)
    return Reported(row.id, row.gateway_sid, row.last_status, reachable)


def change(connection: Connection, outbox_id: int, **values: Any) -> None:
    """Change a text that `find` has locked."""
    connection.execute(update(outbox).where(outbox.c.id == outbox_id).values(**values))


def add_report(connection: Connection, **values: Any) -> bool:
    """Keep a report; False where that sid has had that status already."""
    # Asked for by its id: how many rows were inserted is not known everywhere.
    added = insert_new(connection, outbox_status).values(**values).returning(outbox_status.c.id)
    return connection.execute(added).scalar_one_or_none() is not None


def claim_fact(connection: Connection, now: datetime, lease: timedelta) -> Untold | None:
    """The oldest report that something follows from, and that has not been told."""
    free = or_(outbox_status.c.telling_until.is_(None), outbox_status.c.telling_until <= now)
    row = connection.execute(
        select(outbox_status, outbox.c.site, outbox.c.phone)
        .join(outbox, outbox.c.id == outbox_status.c.outbox)
        .where(outbox_status.c.fact.is_not(None), outbox_status.c.told_at.is_(None), free)
        .order_by(outbox_status.c.id)
        .limit(1)
        .with_for_update(skip_locked=True, of=outbox_status)
    ).one_or_none()
    if row is None:
        return None
    _change_report(connection, row.id, telling_until=now + lease)
    _, opted_out = phone_now(connection, row.site, row.phone)
    return Untold(
        row.id, row.outbox, row.site, row.phone, row.status, row.error_code, row.fact, opted_out
    )


def mark_told(connection: Connection, report: int, now: datetime) -> None:
    _change_report(connection, report, told_at=now)


def _change_report(connection: Connection, report: int, **values: Any) -> None:
    connection.execute(update(outbox_status).where(outbox_status.c.id == report).values(**values))

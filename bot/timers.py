"""A bell is a row: claim what is due (lease, attempt). The engine only wakes somebody to look."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, bindparam, or_, select, tuple_, update

from bot.store.tables import bell
from bot.store.transaction import Store


@dataclass(frozen=True, slots=True)
class Claimed:
    """A due bell that is ours to ring until its lease ends; *attempt* tells old claims apart."""

    site: str
    bell: str
    due: datetime
    attempt: int


def next_due(store: Store) -> datetime | None:
    """When the next bell is due that nobody is ringing; None where there is none."""
    with store.read() as connection:
        return connection.execute(_NEXT_DUE).scalar_one_or_none()


_NEXT_DUE = (
    select(bell.c.due_at).where(bell.c.lease_until.is_(None)).order_by(bell.c.due_at).limit(1)
)


def claim(store: Store, now: datetime, count: int, lease: timedelta) -> tuple[Claimed, ...]:
    """At most *count* due bells, the longest due first; nobody else gets them before *lease* ends.

    A bell is never given up: whoever claimed it and died has only delayed it by the lease.
    """
    asked = {"now": now, "most": count, "until": now + lease}
    with store.write() as connection:
        rows = connection.execute(_CLAIM, asked).all()
    return tuple(sorted((Claimed(*row) for row in rows), key=lambda claimed: claimed.due))


def _claims() -> Any:
    now: Any = bindparam("now")
    due = (
        select(bell.c.site, bell.c.id)
        .where(bell.c.due_at <= now)
        .where(or_(bell.c.lease_until.is_(None), bell.c.lease_until <= now))
        .order_by(bell.c.due_at)
        .limit(bindparam("most"))
        .with_for_update(skip_locked=True)
    )
    return (
        update(bell)
        .where(tuple_(bell.c.site, bell.c.id).in_(due))
        .values(lease_until=bindparam("until"), attempts=bell.c.attempts + 1)
        .returning(bell.c.site, bell.c.id, bell.c.due_at, bell.c.attempts)
    )


_CLAIM = _claims()


def is_still_claimed(connection: Connection, claimed: Claimed) -> bool:
    """Whether that very claim still stands: ask under the site's lock, before the bell rings."""
    asked = {
        "of": claimed.site,
        "at": claimed.bell,
        "due": claimed.due,
        "attempt": claimed.attempt,
    }
    return connection.execute(_STANDS, asked).one_or_none() is not None


_STANDS = select(bell.c.id).where(
    bell.c.site == bindparam("of"),
    bell.c.id == bindparam("at"),
    bell.c.due_at == bindparam("due"),
    bell.c.attempts == bindparam("attempt"),
)


def put_off(connection: Connection, claimed: Claimed, until: datetime) -> None:
    """Leave a bell that could not be rung to be claimed again at *until*."""
    connection.execute(
        update(bell)
        .where(bell.c.site == claimed.site, bell.c.id == claimed.bell)
        .where(bell.c.attempts == claimed.attempt)
        .values(lease_until=until)
    )

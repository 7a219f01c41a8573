"""A bell is a row: claim what is due (lease, attempt). The engine only wakes somebody to look."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Connection, or_, select, tuple_, update

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
    waiting = select(bell.c.due_at).where(bell.c.lease_until.is_(None))
    with store.read() as connection:
        return connection.execute(waiting.order_by(bell.c.due_at).limit(1)).scalar_one_or_none()


def claim(store: Store, now: datetime, count: int, lease: timedelta) -> tuple[Claimed, ...]:
    """At most *count* due bells, the longest due first; nobody else gets them before *lease* ends.

    A bell is never given up: whoever claimed it and died has only delayed it by the lease.
    """
    due = (
        select(bell.c.site, bell.c.id)
        .where(bell.c.due_at <= now)
        .where(or_(bell.c.lease_until.is_(None), bell.c.lease_until <= now))
        .order_by(bell.c.due_at)
        .limit(count)
        .with_for_update(skip_locked=True)
    )
    taken = (
        update(bell)
        .where(tuple_(bell.c.site, bell.c.id).in_(due))
        .values(lease_until=now + lease, attempts=bell.c.attempts + 1)
        .returning(bell.c.site, bell.c.id, bell.c.due_at, bell.c.attempts)
    )
    with store.write() as connection:
        rows = connection.execute(taken).all()
    return tuple(sorted((Claimed(*row) for row in rows), key=lambda claimed: claimed.due))


def is_still_claimed(connection: Connection, claimed: Claimed) -> bool:
    """Whether that very claim still stands: ask under the site's lock, before the bell rings."""
    wanted = select(bell.c.id).where(
        bell.c.site == claimed.site,
        bell.c.id == claimed.bell,
        bell.c.due_at == claimed.due,
        bell.c.attempts == claimed.attempt,
    )
    return connection.execute(wanted).one_or_none() is not None


def put_off(connection: Connection, claimed: Claimed, until: datetime) -> None:
    """Leave a bell that could not be rung to be claimed again at *until*."""
    connection.execute(
        update(bell)
        .where(bell.c.site == claimed.site, bell.c.id == claimed.bell)
        .where(bell.c.attempts == claimed.attempt)
        .values(lease_until=until)
    )

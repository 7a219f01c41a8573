"""Rows of texts on their way out: added, claimed, settled."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import (
    Connection,
    RowMapping,
    Select,
    and_,
    bindparam,
    insert,
    or_,
    select,
    update,
)

from bot.store.people import number_of
from bot.store.tables import live, outbox


@dataclass(frozen=True, slots=True)
class Queued:
    """A text in its last form, for one phone; `bell` names what it rings, if it must arrive."""

    phone: str
    slug: str
    body: str
    language: str
    septets: int
    valid_until: datetime
    thread: str | None = None
    question: int | None = None
    bell: str | None = None


@dataclass(frozen=True, slots=True)
class Claimed:
    """A text that this worker, and for now no other, may send or look up."""

    id: int
    site: str
    phone: str
    number: str | None
    """None where the number was erased after the text was queued."""
    body: str
    created_at: datetime
    valid_until: datetime
    tried_at: datetime | None
    attempts: int
    bell: str | None
    overtaken: bool
    """Its question has been answered: it no longer matters (S11)."""


Claims = Callable[[Connection, datetime, timedelta], Claimed | None]
"""A way to take the next text: now, and ours for so long."""

Outcome = Callable[[Connection], object]
"""What became of a text, to be written by whoever takes the next: one commit for both."""


@dataclass(frozen=True, slots=True)
class Guard:
    """At most so many texts to one phone within so long."""

    most: int
    within: timedelta


def add(connection: Connection, site: str, texts: Sequence[Queued], now: datetime) -> list[int]:
    """Queue *texts* in this order; hands back their ids."""
    return [
        connection.execute(
            _ADDED,
            {
                "site": site,
                "phone": text.phone,
                "slug": text.slug,
                "body": text.body,
                "language": text.language,
                "septets": text.septets,
                "created_at": now,
                "next_try_at": now,
                "valid_until": text.valid_until,
                "thread": text.thread,
                "question": text.question,
                "bell": text.bell,
            },
        ).scalar_one()
        for text in texts
    ]


_ADDED = insert(outbox).returning(outbox.c.id)


def claim(connection: Connection, now: datetime, lease: timedelta, guard: Guard) -> Claimed | None:
    """The next text that may go now: bells first, and of each phone the oldest.

    A text that the guard holds back waits until the guard lets it through.
    """
    while (row := _first(connection, _NEXT_DUE, {"now": now})) is not None:
        free_at = _free_at(connection, row, now, guard)
        if free_at is None:
            return _claimed(connection, row, now, now + lease)
        _change(connection, row["id"], next_try_at=free_at)
    return None


def _next_due() -> Select[Any]:
    """Nothing passes a text that is being sent; only a bell passes one that waits its time."""
    now: Any = bindparam("now")
    earlier = outbox.alias("earlier")
    in_front = and_(
        earlier.c.site == outbox.c.site,
        earlier.c.phone == outbox.c.phone,
        earlier.c.id < outbox.c.id,
        or_(
            earlier.c.state == "claimed",
            and_(
                earlier.c.state == "pending",
                or_(outbox.c.bell.is_(None), earlier.c.next_try_at <= now),
            ),
        ),
    )
    return (
        select(outbox)
        .where(
            outbox.c.state == "pending",
            outbox.c.next_try_at <= now,
            ~select(earlier.c.id).where(in_front).exists(),
        )
        .order_by(outbox.c.bell.is_(None), outbox.c.id)
        .limit(1)
        .with_for_update(skip_locked=True, of=outbox)
    )


_NEXT_DUE = _next_due()


def _first(
    connection: Connection, wanted: Select[Any], values: dict[str, Any]
) -> RowMapping | None:
    return connection.execute(wanted, values).mappings().one_or_none()


def _free_at(
    connection: Connection, row: RowMapping, now: datetime, guard: Guard
) -> datetime | None:
    """When the guard lets this phone have another text; None where that is now."""
    asked = {"of": row["site"], "on": row["phone"], "since": now - guard.within}
    held = list(connection.execute(_TRIED, asked | {"most": guard.most}).scalars())
    return held[-1] + guard.within if len(held) == guard.most else None


_TRIED = (
    select(outbox.c.tried_at)
    .where(
        outbox.c.site == bindparam("of"),
        outbox.c.phone == bindparam("on"),
        outbox.c.tried_at > bindparam("since"),
    )
    .order_by(outbox.c.tried_at.desc())
    .limit(bindparam("most"))
)


def _claimed(connection: Connection, row: RowMapping, now: datetime, until: datetime) -> Claimed:
    _change(
        connection,
        row["id"],
        state="claimed",
        attempts=row["attempts"] + 1,
        lease_until=until,
        tried_at=now,
    )
    return _text(connection, row, attempts=row["attempts"] + 1)


def claim_unknown(connection: Connection, now: datetime, lease: timedelta) -> Claimed | None:
    """The next text of which nobody knows whether it went out, and which may be looked up now."""
    row = _first(connection, _NEXT_UNKNOWN, {"now": now})
    if row is None:
        return None
    _change(connection, row["id"], next_try_at=now + lease)
    return _text(connection, row, attempts=row["attempts"])


_NEXT_UNKNOWN = (
    select(outbox)
    .where(outbox.c.state == "unknown", outbox.c.next_try_at <= bindparam("now"))
    .order_by(outbox.c.bell.is_(None), outbox.c.id)
    .limit(1)
    .with_for_update(skip_locked=True)
)


def _text(connection: Connection, row: RowMapping, attempts: int) -> Claimed:
    return Claimed(
        row["id"],
        row["site"],
        row["phone"],
        number_of(connection, row["site"], row["phone"]),
        row["body"],
        row["created_at"],
        row["valid_until"],
        row["tried_at"],
        attempts,
        row["bell"],
        _is_overtaken(connection, row),
    )


def _is_overtaken(connection: Connection, row: RowMapping) -> bool:
    """S11: whether the question that this text is about is no longer the open one."""
    if row["thread"] is None or row["question"] is None:
        return False
    open_thread = _live(connection, row["site"], "threads", row["thread"])
    return open_thread is None or open_thread["question"] != row["question"]


def _live(connection: Connection, site: str, room: str, key: str) -> dict[str, Any] | None:
    asked = {"of": site, "in": room, "at": key}
    body = connection.execute(_LIVE, asked).scalar_one_or_none()
    held: dict[str, Any] | None = None if body is None else json.loads(body)
    return held


_LIVE = select(live.c.body).where(
    live.c.site == bindparam("of"), live.c.room == bindparam("in"), live.c.key == bindparam("at")
)


def phone_now(connection: Connection, site: str, phone_id: str) -> tuple[bool, bool]:
    """Whether the phone is held to be reachable, and whether its person has opted out."""
    held = _live(connection, site, "phones", phone_id) or {}
    return held.get("reachable", True), held.get("opted_out", False)


def forget_expired_claims(connection: Connection, now: datetime) -> int:
    """A claim whose worker has not come back is unknown, never pending: it may have been sent."""
    return connection.execute(_EXPIRED, {"now": now}).rowcount


_EXPIRED = (
    update(outbox)
    .where(outbox.c.state == "claimed", outbox.c.lease_until <= bindparam("now"))
    .values(state="unknown", next_try_at=bindparam("now"), lease_until=None)
)


def settle(connection: Connection, text: Claimed, was: str, **values: Any) -> bool:
    """Write how a try ended, unless somebody else has settled the text since."""
    ours = {"this": text.id, "was": was, "try": text.attempts}
    return connection.execute(_OURS, ours | {"lease_until": None} | values).rowcount == 1


_OURS = update(outbox).where(
    outbox.c.id == bindparam("this"),
    outbox.c.state == bindparam("was"),
    outbox.c.attempts == bindparam("try"),
)


def settle_sent(connection: Connection, text: Claimed, sid: str) -> None:
    """The carrier has it; whatever was thought of this try meanwhile."""
    connection.execute(_SENT, {"this": text.id, "try": text.attempts, "sid": sid})


_SENT = (
    update(outbox)
    .where(
        outbox.c.id == bindparam("this"),
        outbox.c.attempts == bindparam("try"),
        outbox.c.state.in_(("claimed", "unknown", "pending")),
    )
    .values(state="sent", gateway_sid=bindparam("sid"), lease_until=None, error_code=None)
)


def known_sids(connection: Connection, text: Claimed) -> frozenset[str]:
    """The gateway's names of other texts of that phone: none of them is this one."""
    return frozenset(
        connection.execute(
            select(outbox.c.gateway_sid).where(
                outbox.c.site == text.site,
                outbox.c.phone == text.phone,
                outbox.c.id != text.id,
                outbox.c.gateway_sid.is_not(None),
                outbox.c.tried_at >= (text.tried_at or text.created_at) - timedelta(hours=1),
            )
        ).scalars()
    )


def _change(connection: Connection, outbox_id: int, **values: Any) -> None:
    connection.execute(_THIS, {"this": outbox_id} | values)


_THIS = update(outbox).where(outbox.c.id == bindparam("this"))

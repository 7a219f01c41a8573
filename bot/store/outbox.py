"""Rows of texts on their way out: added, claimed, settled."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import (
    CTE,
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

from bot.store.tables import live, outbox, phone
from bot.store.tables.outbox import is_unsent


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
    claimed_at: datetime
    overtaken: bool
    """Its question has been answered: it no longer matters (S11)."""


Claims = Callable[[Connection, datetime, timedelta, int], list[Claimed]]
"""A way to take the next texts: now, ours for so long, at most so many, each of another phone."""

Outcome = Callable[[Connection], object]
"""What became of a text, to be written as the next are taken: one commit for all of it."""


@dataclass(frozen=True, slots=True)
class Guard:
    """At most so many texts to one phone within so long."""

    most: int
    within: timedelta


def add(connection: Connection, site: str, texts: Sequence[Queued], now: datetime) -> None:
    """Queue *texts* in this order."""
    if texts:
        connection.execute(_ADDED, [_row(site, text, now) for text in texts])


def _row(site: str, text: Queued, now: datetime) -> dict[str, Any]:
    return {
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
    }


_ADDED = insert(outbox).inline()


def claim(
    connection: Connection, now: datetime, lease: timedelta, most: int, guard: Guard
) -> list[Claimed]:
    """At most so many texts that may go now: bells first, and of each phone the oldest.

    A text that the guard holds back waits until the guard lets it through.
    """
    asked = {"now": now, "most": most, "since": now - guard.within, "nth": guard.most - 1}
    while rows := connection.execute(_NEXT_DUE, asked).mappings().all():
        for row in rows:
            if row["held_since"] is not None:
                _change(connection, row["id"], next_try_at=row["held_since"] + guard.within)
        free = [row for row in rows if row["held_since"] is None]
        if free:
            ours = {"ids": [row["id"] for row in free], "now": now, "until": now + lease}
            connection.execute(_CLAIM, ours)
            return [_text(row, now, attempts=row["attempts"] + 1) for row in free]
    return []


def claim_unknown(
    connection: Connection, now: datetime, lease: timedelta, most: int
) -> list[Claimed]:
    """Texts of which nobody knows whether they went out, and which may be looked up now."""
    rows = connection.execute(_NEXT_UNKNOWN, {"now": now, "most": most}).mappings().all()
    if rows:
        connection.execute(_LATER, {"ids": [row["id"] for row in rows], "until": now + lease})
    return [_text(row, now, attempts=row["attempts"]) for row in rows]


def _first(*conditions: Any) -> CTE:
    """At most so many texts that may go now, and nobody else's while we look at them."""
    return (
        select(outbox)
        .where(is_unsent(outbox), outbox.c.next_try_at <= bindparam("now"), *conditions)
        .order_by(outbox.c.bell.is_(None), outbox.c.id)
        .limit(bindparam("most"))
        .with_for_update(skip_locked=True, of=outbox)
        .cte("first")
    )


def _nothing_in_front() -> Any:
    """Nothing passes a text that is being sent; only a bell passes one that waits its time."""
    earlier = outbox.alias("earlier")
    in_front = and_(
        is_unsent(earlier),
        earlier.c.site == outbox.c.site,
        earlier.c.phone == outbox.c.phone,
        earlier.c.id < outbox.c.id,
        or_(
            earlier.c.state == "claimed",
            and_(
                earlier.c.state == "pending",
                or_(outbox.c.bell.is_(None), earlier.c.next_try_at <= bindparam("now")),
            ),
        ),
    )
    return ~select(earlier.c.id).where(in_front).exists()


def _with_all_that_is_asked(first: CTE, *more: Any) -> Select[Any]:
    """The texts, the numbers they go to and the threads they ask in: one statement for all."""
    its_thread = and_(
        live.c.site == first.c.site, live.c.room == "threads", live.c.key == first.c.thread
    )
    return (
        select(first, phone.c.number, live.c.body.label("open_thread"), *more)
        .outerjoin(phone, and_(phone.c.site == first.c.site, phone.c.id == first.c.phone))
        .outerjoin(live, its_thread)
        .order_by(first.c.bell.is_(None), first.c.id)
    )


def _held_since(first: CTE) -> Any:
    """When the phone had the first of as many texts as the guard allows it."""
    tried = outbox.alias("tried")
    of_the_phone = and_(
        tried.c.site == first.c.site,
        tried.c.phone == first.c.phone,
        tried.c.tried_at > bindparam("since"),
    )
    latest = select(tried.c.tried_at).where(of_the_phone).order_by(tried.c.tried_at.desc())
    nth = latest.limit(1).offset(bindparam("nth")).scalar_subquery()
    return nth.label("held_since")


def _next_due() -> Select[Any]:
    first = _first(outbox.c.state == "pending", _nothing_in_front())
    return _with_all_that_is_asked(first, _held_since(first))


_NEXT_DUE = _next_due()
_NEXT_UNKNOWN = _with_all_that_is_asked(_first(outbox.c.state == "unknown"))
_THESE = outbox.c.id.in_(bindparam("ids", expanding=True))
_CLAIM = (
    update(outbox)
    .where(_THESE)
    .values(
        state="claimed",
        attempts=outbox.c.attempts + 1,
        lease_until=bindparam("until"),
        tried_at=bindparam("now"),
    )
)
_LATER = update(outbox).where(_THESE).values(next_try_at=bindparam("until"))


def _text(row: RowMapping, now: datetime, attempts: int) -> Claimed:
    return Claimed(
        row["id"],
        row["site"],
        row["phone"],
        row["number"],
        row["body"],
        row["created_at"],
        row["valid_until"],
        row["tried_at"],
        attempts,
        row["bell"],
        now,
        _is_overtaken(row),
    )


def _is_overtaken(row: RowMapping) -> bool:
    """S11: whether the question that this text is about is no longer the open one."""
    if row["thread"] is None or row["question"] is None:
        return False
    asked: dict[str, Any] | None = json.loads(row["open_thread"] or "null")
    return asked is None or asked["question"] != row["question"]


def phone_now(connection: Connection, site: str, phone_id: str) -> tuple[bool, bool]:
    """Whether the phone is held to be reachable, and whether its person has opted out."""
    body = connection.execute(_PHONE, {"of": site, "at": phone_id}).scalar_one_or_none()
    held: dict[str, bool] = json.loads(body or "{}")
    return held.get("reachable", True), held.get("opted_out", False)


_PHONE = select(live.c.body).where(
    live.c.site == bindparam("of"), live.c.room == "phones", live.c.key == bindparam("at")
)


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

"""Put a text in the same transaction as its cause."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from bot.store.outbox import Queued, add
from bot.texts.segments import segments
from flows.parts.decision import Saying


@dataclass(frozen=True, slots=True)
class Rendered:
    """A saying in the words of the person whose phone it goes to."""

    saying: Saying
    phone: str
    language: str
    body: str


def queue(connection: Connection, site: str, says: Sequence[Rendered], now: datetime) -> None:
    """Queue what is said, in this order. Sent only after the commit."""
    add(connection, site, [_queued(said, now) for said in says], now)


def _queued(said: Rendered, now: datetime) -> Queued:
    saying = said.saying
    return Queued(
        phone=said.phone,
        slug=saying.text.slug,
        body=said.body,
        language=said.language,
        septets=segments(said.body).septets,
        valid_until=now + saying.good_for,
        thread=saying.thread,
        question=saying.question,
        bell=saying.bell,
    )

"""Seen before? From whom? What of it may be kept? (S10, S14)."""

import hmac
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256

from bot.store.inbox import Arrived
from bot.store.people import Known, NotANumber, e164


@dataclass(frozen=True, slots=True)
class Inbound:
    """A text as it reached us, from whatever channel.

    *sid* is the carrier's name for it, the same each time it is brought. *sent_at* is the
    gateway's own date, where it is known (S2).
    """

    sid: str
    number: str = field(repr=False)
    body: str = field(repr=False)
    arrived_at: datetime
    sent_at: datetime | None = None
    channel: str = "sms"
    raw: str = field(default="", repr=False)

    def earliest(self, now: datetime) -> datetime:
        """S2: the earliest moment at which the evidence allows it to have been sent."""
        return min(moment for moment in (self.sent_at, self.arrived_at, now) if moment)

    def kept(self, known: Known, person: str | None, body: str) -> Arrived:
        """What is written down of it; *body* has been masked where a PIN may be in it."""
        return Arrived(
            sid=self.sid,
            site=known.site,
            phone=known.phone,
            person=person,
            channel=self.channel,
            body=body,
            arrived_at=self.arrived_at,
            sent_at=self.sent_at,
            raw=readable(self.raw),
        )


def readable(text: str) -> str:
    """The same text without what no database takes: NUL, and halves of characters."""
    return text.replace("\0", "\ufffd").encode("utf-8", "replace").decode("utf-8")


def number_of(inbound: Inbound) -> str | None:
    """The sender's number in the form in which numbers are kept; None where it is none."""
    try:
        return e164(inbound.number)
    except NotANumber:
        return None


def stranger_hash(secret: str, number: str) -> str:
    """S14: tells strangers apart by day; without our secret no number can be tried against it."""
    return hmac.new(secret.encode(), f"stranger {number}".encode(), sha256).hexdigest()

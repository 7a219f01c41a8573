"""Delivery reports, in any order -> facts for the exchange."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from bot.clock import Clock
from bot.outbox import reference
from bot.outbox.codes import CODES, Verdict, meaning_of
from bot.store import delivery
from bot.store.delivery import Untold
from bot.store.transaction import Store
from flows.parts.events import Event, PhoneOptedOut, PhoneReachable, TextUndelivered

RANKS: Mapping[str, int] = MappingProxyType(
    {
        "accepted": 0,
        "scheduled": 0,
        "queued": 0,
        "sending": 1,
        "sent": 2,
        "canceled": 3,
        "failed": 3,
        "undelivered": 3,
        "partially_delivered": 4,
        "delivered": 4,
        "read": 5,
    }
)
"""A report moves a text up and never down: they come in any order. That it arrived outranks that
it failed, which a carrier may say too early. A word that is not here moves nothing.
Names: the gateway's OpenAPI description, status of a message. Order not kept: from memory."""

SENT, FAILED, ARRIVED = RANKS["sent"], RANKS["failed"], RANKS["delivered"]

TELLING = timedelta(seconds=60)
"""A worker that has not told a fact by then is held to be gone, and another tells it."""


class Fact(StrEnum):
    """What follows from a report; kept with it until the exchange has taken it."""

    UNDELIVERED = "undelivered"
    OPTED_OUT = "opted_out"
    REACHABLE = "reachable"


@dataclass(frozen=True, slots=True)
class Report:
    """A delivery report as the webhook read it."""

    sid: str
    status: str
    reference: str = ""
    error_code: str | None = None


Tell = Callable[[str, Event, str], Any]
"""The exchange's door for facts: site, event, phone."""


def receive(store: Store, report: Report, secret: str, now: datetime) -> bool:
    """Keep a report and what follows from it. False where it is about no text of ours.

    A reference that we did not sign is not believed; the gateway's own sid may still be known.
    """
    with store.write() as connection:
        text = delivery.find(
            connection, outbox_id=reference.read(secret, report.reference), sid=report.sid
        )
        if text is None:
            return False
        moves = RANKS.get(report.status, -1) > RANKS.get(text.last_status or "", -1)
        fact = _fact(text, report) if moves else None
        is_new = delivery.add_report(
            connection,
            outbox=text.id,
            sid=report.sid,
            status=report.status,
            error_code=report.error_code,
            arrived_at=now,
            fact=fact,
        )
        if is_new and moves:
            delivery.change(connection, text.id, **_moved(text, report))
    return True


def _moved(text: delivery.Reported, report: Report) -> dict[str, Any]:
    """An early failure is overruled; a text that was overtaken unsent cannot have a report."""
    failed = RANKS[report.status] == FAILED
    return {
        "state": "dead" if failed else "sent",
        "last_status": report.status,
        "error_code": report.error_code if failed else None,
        "gateway_sid": text.gateway_sid or report.sid,
        "lease_until": None,
    }


def _fact(text: delivery.Reported, report: Report) -> Fact | None:
    rank = RANKS[report.status]
    if rank == FAILED:
        return fact_of_failure(report.error_code)
    arrived_after_all = text.last_status is not None and RANKS[text.last_status] == FAILED
    if rank >= ARRIVED and (arrived_after_all or not text.phone_reachable):
        return Fact.REACHABLE
    return None


def fact_of_failure(code: str | None) -> Fact:
    known = CODES.get(code or "")
    opted_out = known is not None and known.verdict is Verdict.OPTED_OUT
    return Fact.OPTED_OUT if opted_out else Fact.UNDELIVERED


def tell_facts(store: Store, tell: Tell, clock: Clock) -> int:
    """Take to the exchange what no worker has taken there yet; hands back how many.

    Told at least once: a worker that dies before it has noted the telling leaves it to another.
    """
    told = 0
    while (untold := _claim(store, clock.now())) is not None:
        for event in _events(untold):
            tell(untold.site, event, untold.phone)
        with store.write() as connection:
            delivery.mark_told(connection, untold.report, clock.now())
        told += 1
    return told


def _claim(store: Store, now: datetime) -> Untold | None:
    with store.write() as connection:
        return delivery.claim_fact(connection, now, TELLING)


def _events(untold: Untold) -> list[Event]:
    """Who opted out has not got this text either: a bell must ring elsewhere all the same."""
    because = meaning_of(untold.error_code) or untold.status
    undelivered = TextUndelivered(untold.phone, str(untold.outbox), because)
    match Fact(untold.fact):
        case Fact.REACHABLE:
            return [PhoneReachable(untold.phone)]
        case Fact.OPTED_OUT if not untold.opted_out:
            return [PhoneOptedOut(untold.phone), undelivered]
        case _:
            return [undelivered]

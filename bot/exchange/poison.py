"""An unexpected error: kept, told, answered; and never tried again and again."""

import logging
from collections.abc import Iterator
from datetime import datetime, timedelta

from bot.exchange.path import NOBODY, Parts, Stamp, decide, write
from bot.store.inbox import Arrived, add_once
from bot.store.transaction import Unit, run_exchange
from bot.timers import Claimed, put_off
from flows.answer import FactIn
from flows.parts.clinic import Clinic, Role
from flows.parts.decision import Outcome, Saying
from flows.parts.events import AlertRaised, Event, TextFailed
from flows.parts.moment import Moment
from flows.parts.text import say

_log = logging.getLogger(__name__)

SORRY = say(
    "exchange.failed",
    "Something went wrong with me, not with you. Your text is kept and your contact is told. "
    "In doubt the device is NOT READY.",
)
BELL_FAILED = say(
    "exchange.bell_failed",
    "I could not work out a timer of your site and try again. Please call whoever is cleaning.",
)
LOOK_YOURSELF = say(
    "exchange.look_yourself",
    "One of my timers has gone wrong. Please go by your own timer until I text again.",
)

LONGEST_WAIT = timedelta(minutes=10)
FIRST_WAIT = timedelta(seconds=30)


def text_failed(parts: Parts, unit: Unit, arrived: Arrived, error: Exception) -> bool:
    """Keep a text as failed, tell the supervisor, answer the phone. False where it was seen."""
    now = parts.clock.now()
    name = type(error).__name__
    if not add_once(unit.connection, arrived, now, error=name):
        return False
    stamp = Stamp(phone=arrived.phone, cause=arrived.sid)
    _tell(parts, unit, TextFailed(arrived.sid, name), stamp, now)
    answered = Outcome(says=(Saying(SORRY, to=arrived.phone),))
    write(parts, unit, answered, stamp, now)
    return True


def _tell(parts: Parts, unit: Unit, event: Event, stamp: Stamp, now: datetime) -> None:
    """By the flows, which know whom to alert; where they are what is broken, the bare fact."""
    before = unit.seq, unit.head, unit.loaded
    try:
        with unit.connection.begin_nested():
            decide(parts, unit, FactIn((event,)), stamp, {})
    except Exception:  # noqa: BLE001 - logged, and the fact is written all the same
        _log.exception("%s could not be followed up", type(event).__name__)
        unit.seq, unit.head, unit.loaded = before
        write(parts, unit, Outcome((event,)), stamp, now)


def bell_failed(parts: Parts, claimed: Claimed, error: Exception) -> None:
    """Leave the bell to be rung again, ever more rarely; the first time people are told."""
    del error
    now = parts.clock.now()

    def leave(unit: Unit) -> None:
        put_off(unit.connection, claimed, now + _wait(claimed.attempt))
        if claimed.attempt == 1:
            raised = AlertRaised(
                Moment(now, parts.token()).ident("alert"), "bell_failed", claimed.bell
            )
            says = tuple(_warnings(unit.clinic, claimed.bell))
            write(parts, unit, Outcome((raised,), says), NOBODY, now)

    run_exchange(parts.store, claimed.site, leave)


def _wait(attempt: int) -> timedelta:
    return min(FIRST_WAIT * (1 << min(attempt - 1, 10)), LONGEST_WAIT)


def _warnings(clinic: Clinic, bell_id: str) -> Iterator[Saying]:
    """The phones that would have heard it, and the supervisors'."""
    bell = clinic.bells.get(bell_id)
    for thread in clinic.threads.values():
        if bell and (thread.id == bell.thread or (bell.cycle and thread.cycle == bell.cycle)):
            yield Saying(LOOK_YOURSELF, to=thread.phone)
    for phone in clinic.phones.values():
        people = (clinic.people.get(person) for person in phone.people)
        if any(person and person.role is Role.SUPERVISOR for person in people):
            yield Saying(BELL_FAILED, to=phone.id)

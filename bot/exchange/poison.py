"""An unexpected error: kept, told, answered; and never tried again and again."""

import logging
from collections.abc import Iterator
from datetime import timedelta

from bot.exchange.path import Occasion, Parts, Speaker, decide, write
from bot.logs import wrong
from bot.store.exchange import run_exchange
from bot.store.inbox import Arrived, add_once
from bot.store.transaction import Unit
from bot.timers import Claimed, put_off
from flows.answer import FactIn
from flows.parts.clinic import Clinic, Role
from flows.parts.decision import Outcome, Saying
from flows.parts.events import AlertRaised, Event, TextFailed
from flows.parts.moment import Moment
from flows.parts.text import Text, say

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
FACT_FAILED = say(
    "exchange.fact_failed",
    "Something that I was told about your site went wrong in me. It is kept. Please tell whoever "
    "looks after me.",
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
    occasion = Occasion(now, Speaker(phone=arrived.phone, cause=arrived.sid))
    _follow_up(parts, unit, TextFailed(arrived.sid, name), occasion)
    write(parts, unit, Outcome(says=(Saying(SORRY, to=arrived.phone),)), occasion)
    return True


def _follow_up(parts: Parts, unit: Unit, event: Event, occasion: Occasion) -> None:
    """By the flows, which know whom to alert; where they are what is broken, the bare fact."""
    before = unit.seq, unit.head, unit.loaded
    try:
        with unit.connection.begin_nested():
            decide(parts, unit, FactIn((event,)), occasion)
    except Exception as error:  # noqa: BLE001 - logged, and the fact is written all the same
        _log.error("%s could not be followed up %s", type(event).__name__, wrong(error))
        unit.seq, unit.head, unit.loaded = before
        write(parts, unit, Outcome((event,)), occasion)


def fact_failed(parts: Parts, site: str, event: Event, speaker: Speaker) -> None:
    """Keep a fact as it was told, without what should follow from it, and tell the supervisor."""
    occasion = Occasion(parts.clock.now(), speaker)

    def keep(unit: Unit) -> None:
        raised = _alert(parts, occasion, "fact_failed", type(event).__name__)
        says = tuple(_to_supervisors(unit.clinic, FACT_FAILED))
        write(parts, unit, Outcome((event, raised), says), occasion)

    run_exchange(parts.store, site, keep)


def bell_failed(parts: Parts, claimed: Claimed) -> None:
    """Leave the bell to be rung again, ever more rarely; the first time people are told."""
    occasion = Occasion(parts.clock.now())

    def leave(unit: Unit) -> None:
        put_off(unit.connection, claimed, occasion.now + _wait(claimed.attempt))
        if claimed.attempt == 1:
            raised = _alert(parts, occasion, "bell_failed", claimed.bell)
            says = (
                *_to_whom_it_rings(unit.clinic, claimed.bell),
                *_to_supervisors(unit.clinic, BELL_FAILED),
            )
            write(parts, unit, Outcome((raised,), says), occasion)

    run_exchange(parts.store, claimed.site, leave)


def _alert(parts: Parts, occasion: Occasion, cause: str, subject: str) -> AlertRaised:
    return AlertRaised(Moment(occasion.now, parts.token()).ident("alert"), cause, subject)


def _wait(attempt: int) -> timedelta:
    return min(FIRST_WAIT * (1 << min(attempt - 1, 10)), LONGEST_WAIT)


def _to_whom_it_rings(clinic: Clinic, bell_id: str) -> Iterator[Saying]:
    bell = clinic.bells.get(bell_id)
    for thread in clinic.threads.values():
        if bell and (thread.id == bell.thread or (bell.cycle and thread.cycle == bell.cycle)):
            yield Saying(LOOK_YOURSELF, to=thread.phone)


def _to_supervisors(clinic: Clinic, text: Text) -> Iterator[Saying]:
    for phone in clinic.phones.values():
        people = (clinic.people.get(person) for person in phone.people)
        if any(person and person.role is Role.SUPERVISOR for person in people):
            yield Saying(text, to=phone.id)

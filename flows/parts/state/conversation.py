"""What questions, sign-ins and bells make of threads and phones."""

from dataclasses import replace

from flows.parts.clinic import Bell, Clinic, Thread
from flows.parts.events import (
    BellRang,
    BellSet,
    BellStopped,
    HolderSignedIn,
    HolderSignedOut,
    NotUnderstood,
    Nudged,
    QuestionAsked,
    SaidBefore,
    SaidInPart,
    Stamped,
    ThreadEnded,
    WrongPin,
)
from flows.parts.said import InPart, Said
from flows.parts.state.change import add_bell, apply, change, drop, put, spend


@apply.register
def question(event: QuestionAsked, clinic: Clinic, stamped: Stamped) -> Clinic:
    thread = Thread(
        id=event.thread,
        phone=event.phone,
        person=event.person,
        frames=event.frames,
        question=event.question,
        asked_at=stamped.at,
        cycle=event.cycle,
    )
    clinic = replace(clinic, threads=put(clinic.threads, event.thread, thread))
    clinic = _remembered(clinic, event.phone, Said(event.answer, stamped.at))
    clinic = spend(clinic, event.cycle or "", thread.number)
    nudge = f"{event.thread}.nudge"
    if event.nudge_at is None:
        return replace(clinic, bells=drop(clinic.bells, [nudge]))
    return add_bell(
        clinic,
        Bell(nudge, "nudge", event.nudge_at, thread=event.thread, question=event.question),
    )


REMEMBERED = 3
"""Answers of a phone: a double comes late, but not after many more."""


def _remembered(clinic: Clinic, phone: str, said: Said) -> Clinic:
    """S10: an answer that was taken; one that led to several questions is kept once."""
    known = clinic.phones.get(phone)
    if known is None or not said.digest or said in known.said:
        return clinic
    return change(clinic, "phones", phone, said=(*known.said, said)[-REMEMBERED:])


@apply.register
def said_before(event: SaidBefore, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "threads", event.thread, said_before=True)


@apply.register
def said_in_part(event: SaidInPart, clinic: Clinic, stamped: Stamped) -> Clinic:
    part = InPart(event.person, event.words, event.sent_at, stamped.at)
    return change(clinic, "phones", event.phone, in_part=part if event.words else None)


@apply.register
def thread_ended(event: ThreadEnded, clinic: Clinic, stamped: Stamped) -> Clinic:
    thread = clinic.threads.get(event.thread)
    if thread:
        clinic = _remembered(clinic, thread.phone, Said(event.answer, stamped.at))
    bells = [bell.id for bell in clinic.bells.values() if bell.thread == event.thread]
    return replace(
        clinic,
        threads=drop(clinic.threads, [event.thread]),
        bells=drop(clinic.bells, bells),
    )


@apply.register
def missed(event: NotUnderstood, clinic: Clinic, _: Stamped) -> Clinic:
    thread = clinic.threads.get(event.thread)
    return change(clinic, "threads", event.thread, misses=thread.misses + 1) if thread else clinic


@apply.register
def nudged(event: Nudged, clinic: Clinic, _: Stamped) -> Clinic:
    nudge = f"{event.thread}.nudge"
    clinic = change(clinic, "threads", event.thread, nudges=event.stage)
    if event.again_at is None:
        return replace(clinic, bells=drop(clinic.bells, [nudge]))
    bell = Bell(
        nudge,
        "nudge",
        event.again_at,
        thread=event.thread,
        question=event.question,
        stage=event.stage,
    )
    return add_bell(clinic, bell)


@apply.register
def signed_in(event: HolderSignedIn, clinic: Clinic, stamped: Stamped) -> Clinic:
    return change(
        clinic,
        "phones",
        event.phone,
        holder=event.person,
        held_since=stamped.at,
        held_from=min(event.sent_at or stamped.at, stamped.at),
        locked_until=None,
    )


@apply.register
def signed_out(event: HolderSignedOut, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "phones", event.phone, holder=None, held_since=None)


@apply.register
def wrong_pin(event: WrongPin, clinic: Clinic, stamped: Stamped) -> Clinic:
    phone = clinic.phones.get(event.phone)
    if phone is None:
        return clinic
    misses = 0 if event.locked_until else phone.misses(stamped.at) + 1
    return change(
        clinic,
        "phones",
        event.phone,
        wrong_pins=misses,
        missed_at=stamped.at,
        locked_until=event.locked_until,
    )


@apply.register
def bell_set(event: BellSet, clinic: Clinic, _: Stamped) -> Clinic:
    bell = Bell(
        event.bell,
        event.kind,
        event.due,
        event.thread,
        event.question,
        event.cycle,
        event.stage,
    )
    return add_bell(clinic, bell)


@apply.register
def bell_stopped(event: BellStopped, clinic: Clinic, _: Stamped) -> Clinic:
    return replace(clinic, bells=drop(clinic.bells, [event.bell]))


@apply.register
def bell_rang(event: BellRang, clinic: Clinic, stamped: Stamped) -> Clinic:
    clinic = replace(clinic, bells=drop(clinic.bells, [event.bell]))
    cycle = clinic.cycles.get(event.cycle or "")
    if cycle is None:
        return clinic
    if event.kind == "detergent" and cycle.detergent:
        rung = replace(cycle.detergent, rung=stamped.at)
        return change(clinic, "cycles", cycle.id, detergent=rung)
    if event.kind == "contact" and cycle.contact:
        rung = replace(cycle.contact, rung=stamped.at)
        return change(clinic, "cycles", cycle.id, contact=rung)
    return clinic

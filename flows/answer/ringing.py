"""A bell: of a soak, of a strip, or of a question that nobody has answered (S8, S11, S12)."""

from datetime import datetime, timedelta

from flows.answer.draft import Draft
from flows.answer.landing import NEXT_LOOK, ask_again, end, lost, proceed
from flows.catalogue import FLOWS, RINGERS, SITE_RINGERS
from flows.containers import CONTAINERS
from flows.fallen import alert
from flows.parts.clinic import Bell, Thread
from flows.parts.decision import Saying
from flows.parts.events import BellRang, CycleAbandoned, Nudged
from flows.parts.step import Patience
from flows.parts.text import Text, say
from flows.strip_test import STRIP_TEST
from flows.use import USE

TOLD, GIVEN_UP = 2, 3


def ring(draft: Draft, bell: Bell, late: timedelta) -> None:
    """Deal with a bell that is due; one whose cause is gone has been taken away before."""
    if bell.kind == "nudge":
        _nudge(draft, bell)
        return
    if bell.kind in SITE_RINGERS:
        draft.happen(BellRang(bell.id, bell.kind, late))
        draft.take(SITE_RINGERS[bell.kind](draft.situation(), bell, late, draft.moment))
        return
    thread = _thread_of(draft, bell)
    draft.happen(BellRang(bell.id, bell.kind, late, bell.cycle), thread=thread)
    if thread is None:
        return
    decision = RINGERS[bell.kind](draft.situation(thread), bell, late)
    draft.bell = bell.id
    proceed(draft, thread, decision)
    draft.bell = None


def _thread_of(draft: Draft, bell: Bell) -> Thread | None:
    """A soak's bell finds its cycle wherever that has been taken to."""
    if bell.thread:
        return draft.clinic.threads.get(bell.thread)
    threads = draft.clinic.threads.values()
    return next((thread for thread in threads if thread.cycle == bell.cycle), None)


def ring_what_is_due(draft: Draft) -> bool:
    """LEFT, once the time is up, is as good as the bell, and carries its number (S2)."""
    mine = {
        thread.cycle for thread in draft.clinic.threads.values() if thread.phone == draft.phone
    }
    due = [
        bell
        for bell in draft.clinic.bells.values()
        if bell.cycle in mine
        and bell.kind in {"contact", "detergent"}
        and bell.due <= draft.moment.now
    ]
    for bell in due:
        ring(draft, bell, draft.moment.now - bell.due)
    return bool(due)


# -- nobody answers -----------------------------------------------------------------------------


def _nudge(draft: Draft, bell: Bell) -> None:
    thread = draft.clinic.threads[bell.thread or ""]
    step = FLOWS[thread.top.flow].step(thread.top.step)
    if step is None:
        lost(draft, thread)
        return
    patience = step.patience or Patience()
    stage = GIVEN_UP if _is_long_over(draft, thread, patience) else bell.stage + 1
    again_at = _again_at(draft, thread, patience, stage)
    draft.happen(Nudged(thread.id, thread.question, stage, again_at), thread=thread)
    if stage >= GIVEN_UP:
        _give_up(draft, thread)
        return
    if stage == TOLD:
        _tell(draft, thread)
    ask_again(draft, thread)


def _again_at(draft: Draft, thread: Thread, patience: Patience, stage: int) -> datetime | None:
    """When to look again: to tell somebody, then to give up; a soak is never given up (S8)."""
    wait = patience.tell if stage == 1 else patience.abandon
    if stage >= GIVEN_UP or wait is None or (stage == TOLD and _soaks(draft, thread)):
        return None
    return max(thread.asked_at + wait, draft.moment.now + NEXT_LOOK)


def _is_long_over(draft: Draft, thread: Thread, patience: Patience) -> bool:
    """S8: a probe that lay half cleaned while this bot was down is not gone on with.

    That is over a night: after twice the time it would have had. Where nothing has been done to
    it yet there is time.
    """
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    if cycle is None or not cycle.done or cycle.contact or patience.abandon is None:
        return False
    return draft.moment.now - thread.asked_at >= 2 * patience.abandon


def _soaks(draft: Draft, thread: Thread) -> bool:
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    return cycle is not None and cycle.contact is not None


def _missed_step(draft: Draft, thread: Thread) -> tuple[str, str]:
    """What is missing, and of what; empty where nobody need be told."""
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    if cycle:
        return "no_answer", cycle.device
    return ("code_owed", thread.top.memo["device"]) if thread.top.flow == USE.name else ("", "")


def _tell(draft: Draft, thread: Thread) -> None:
    """A missed step is told while it can still be mended."""
    cause, subject = _missed_step(draft, thread)
    if cause:
        draft.take(alert(draft.situation(thread), cause, subject, draft.moment), thread)


def _give_up(draft: Draft, thread: Thread) -> None:
    """S8: in doubt, clean again: the device is not ready, and both people are told."""
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    if cycle is None:
        if thread.top.flow in {CONTAINERS.name, STRIP_TEST.name}:
            draft.say(Saying(_nothing_noted()), thread)
        end(draft, thread, "no_answer", resume=False)
        return
    draft.happen(CycleAbandoned(cycle.id, cycle.device, "no_answer"), thread=thread)
    text = say(
        "cycle.abandoned",
        "{device}: I have stopped waiting. It is NOT READY. In doubt, clean again: "
        "{clean} {device}.",
        device=cycle.device,
    )
    draft.say(Saying(text), thread)
    end(draft, thread, "no_answer", resume=False)


def _nothing_noted() -> Text:
    """S7: an answer that comes later finds no question: how to begin again is said here."""
    return say(
        "containers.stopped_waiting",
        "I have stopped waiting: of my last question about solution or strips nothing is noted. "
        "To begin again: {open}, {pour}, {mix} 2 L or {test} T1.",
    )

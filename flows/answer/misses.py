"""A text that answers nothing is counted; of too many in a row somebody is told (S17)."""

from flows.answer.draft import Draft
from flows.fallen import alert
from flows.parts.clinic import Thread
from flows.parts.decision import Saying
from flows.parts.events import NotUnderstood
from flows.parts.text import say

OFFER_A_PERSON = 3
"""S17: after so many misses in a row somebody is asked to call."""


def miss(draft: Draft, thread: Thread, hint: str) -> None:
    """Count it to the question that is open, and offer a person at every third."""
    draft.happen(NotUnderstood(thread.id, hint), thread=thread)
    now = draft.clinic.threads[thread.id]
    if now.misses and now.misses % OFFER_A_PERSON == 0:
        offer_a_person(draft, thread)


def offer_a_person(draft: Draft, thread: Thread | None) -> None:
    """S17: the contact is told to call, of the probe that is led here if there is one."""
    cycle = draft.clinic.cycles.get(thread.cycle or "") if thread else None
    subject = cycle.device if cycle else ""
    told = alert(draft.situation(thread), "not_understood", subject, draft.moment)
    draft.take(told, thread)
    text = say("hearing.person", "I have asked your contact to call you.")
    draft.say(Saying(text), thread)

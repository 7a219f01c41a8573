"""The core's one door: situation + text or bell or fact + now -> Outcome."""

from flows.answer.draft import Draft
from flows.answer.incoming import Around, BellIn, FactIn, Incoming, PinCheck, TextIn
from flows.answer.landing import settle_moves
from flows.answer.ringing import ring
from flows.answer.speaking import hear
from flows.parts.clinic import Clinic
from flows.parts.decision import Outcome
from flows.parts.moment import Moment

__all__ = ["Around", "BellIn", "FactIn", "Incoming", "Outcome", "PinCheck", "TextIn", "answer"]


def answer(clinic: Clinic, incoming: Incoming, moment: Moment, around: Around) -> Outcome:
    """What a text, a bell or a fact leads to, at this clinic, at this moment.

    Nothing is done here: the outcome's events are for the record, its texts for the outbox.
    """
    draft = Draft(clinic, moment, around)
    if isinstance(incoming, TextIn):
        draft.phone = incoming.phone
        draft.typed = incoming.typed
        draft.sent_at = min(incoming.sent_at, moment.now)
        draft.cause = incoming.inbound or None
        hear(draft, incoming)
    elif isinstance(incoming, BellIn):
        bell = clinic.bells.get(incoming.bell)
        if bell is not None:
            ring(draft, bell, incoming.late)
    else:
        draft.happen(*incoming.events)
        settle_moves(draft)
    return draft.outcome()

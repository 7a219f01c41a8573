"""What a carrier brings late may stand in the record already: it is not done twice (S10, S16)."""

from typing import TypeVar

from flows.parts.events import Event
from flows.parts.moment import Moment
from flows.parts.situation import Situation

E = TypeVar("E", bound=Event)


def told_since_it_was_sent(situation: Situation, kind: type[E], moment: Moment) -> tuple[E, ...]:
    """All of that kind since this text was sent, where it was sent before it came.

    What it says is among them, if a carrier has doubled it.
    """
    sent = situation.sent_at
    if sent is None or sent >= moment.now:
        return ()
    since = (each.event for each in situation.past((kind,), sent))
    return tuple(event for event in since if isinstance(event, kind))

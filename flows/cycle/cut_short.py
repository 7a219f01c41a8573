"""A cycle that today's protocol takes no more: it ends there, not at its release (S1, S8)."""

from flows.parts.decision import DONE, Decision, Saying
from flows.parts.events import CycleAbandoned
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.rules.held_since import not_as_today


def cut_short(situation: Situation, moment: Moment) -> Decision | None:
    """At whatever step comes next, so that nobody works on in vain; None where it can go on.

    S8, S12: what soaks is never left alone: it ends once it is out.
    """
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    if cycle is None or cycle.for_repair or cycle.contact or cycle.detergent:
        return None
    changed = "" if situation.frame.flow != "cycle" else not_as_today(situation, moment.now)
    return not_todays(situation, changed) if changed else None


def not_todays(situation: Situation, changed: str) -> Decision:
    """S1: no work of today makes up for it; it is for the desk to say what has *changed*."""
    cycle = situation.cycle
    text = say(
        "cycle.not_todays",
        "{device} is NOT READY: its protocol has changed since it was begun ({figure}). Clean it "
        "again: {clean} {device}. Your contact is told.",
        device=cycle.device,
        figure=changed.partition(".")[2],
    )
    abandoned = CycleAbandoned(cycle.id, cycle.device, f"not_todays:{changed}")
    return Decision(events=(abandoned,), says=(Saying(text),), then=DONE)

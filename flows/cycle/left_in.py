"""A soak that ends while its device lies in the bath: that is taken out first (S12, S21)."""

from flows.parts.decision import Decision, Saying
from flows.parts.events import SoakBroken
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import say

_LEFT_IN = frozenset({"fault", "used", "damaged", "stained", "moved"})
"""Why it may lie there yet; of anything else it is out, or is told so with the reason."""


def take_it_out(situation: Situation, event: SoakBroken, _: Moment) -> Decision:
    """Told to whoever leads it: the bot gives that bath to the next one at once."""
    cycle = situation.clinic.cycles.get(event.cycle)
    if cycle is None or event.because not in _LEFT_IN:
        return Decision()
    text = say(
        "cycle.take_it_out",
        "{device}: gloves on, take it out of {tag} first.",
        device=event.device,
        tag=cycle.bath or "",
    )
    threads = situation.clinic.threads.values()
    phones = dict.fromkeys(each.phone for each in threads if each.cycle == event.cycle)
    return Decision(says=tuple(Saying(text, to=phone) for phone in phones))

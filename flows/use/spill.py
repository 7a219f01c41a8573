"""SPILL, SPLASH: first aid (S20)."""

from flows.parts.decision import Decision, Saying
from flows.parts.events import SpillReported
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import say


def spill(_: Situation, __: Moment) -> Decision:
    """S20: first aid at once, no question first."""
    text = say(
        "use.spill",
        "Eyes: rinse with clean water 15 min, then a doctor. Skin: wash with much water. Air the "
        "room, gloves on, soak it up. Maker's sheet rules.",
    )
    return Decision(events=(SpillReported("said"),), says=(Saying(text),))

"""TOPPED just after FILLED: of the bottle, or of the tub that is asked about (S6, S10)."""

from datetime import timedelta

from flows.parts.clinic import Container
from flows.parts.events import Poured
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say

LATELY = timedelta(minutes=2)
"""So long TOPPED may take back FILLED. Source: common practice, none published."""


def was_just_filled(situation: Situation, source: Container, moment: Moment) -> bool:
    """Whether this phone has told of just that bottle."""
    filled = situation.told_here((Poured,), moment.now - LATELY)
    return any(isinstance(each, Poured) and each.tag == source.tag for each in filled)


def which_of_both(source: str) -> Text:
    """Words near each other must differ: the one names the bottle, the other the tub."""
    return say(
        "containers.fill.which_of_both",
        "Was anything still in the bottle, {source}, or in the tub? For the bottle reply {topped} "
        "{source}, for the tub {topped} {tub}. Nothing is noted yet.",
        source=source,
    )

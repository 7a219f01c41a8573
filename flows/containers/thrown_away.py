"""T1 THROWN AWAY, POURED T1 AWAY: said without DISCARD, it is asked back as that (S6)."""

from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.tags import tags_in
from flows.replies.typed import POLITE

_THROWN = frozenset({"THROWN", "THREW", "TIPPED", "POURED", "EMPTIED", "BINNED", "DISCARDED"})
_AWAY = frozenset({"AWAY", "OUT", "DOWN", "THE", "SINK", "DRAIN"})
_BY_THEMSELVES = frozenset({"EMPTIED", "BINNED", "DISCARDED"})
"""The others need more: POURED T1 is filled, TIPPED T1 may be turned over."""
_BESIDE = POLITE | {
    *("I", "WE", "IT", "IS", "WAS", "HAS", "HAVE", "BEEN", "ALREADY", "JUST", "DONE"),
    *("BATH", "TUB", "BOTTLE", "JUG", "STRIPS", "OLD"),
}


def said_to_be_thrown_away(situation: Situation) -> Text | None:
    """None of what is soaked in, of a question, and where any other word stands beside it."""
    said = typed(situation)
    tags = tags_in(said.words)
    words = {*said.words} - {*tags}
    is_all = words <= _THROWN | _AWAY | _BESIDE and not said.asks
    is_away = words & _BY_THEMSELVES or (words & _THROWN and words & _AWAY)
    if len({*tags.values()}) != 1 or not (is_all and is_away):
        return None
    (tag,) = {*tags.values()}
    container = situation.clinic.containers.get(tag)
    if container is not None and container.in_use_by:
        return None
    return say(
        "discard.thrown_away",
        "Is {tag} thrown away, all of it? Nothing is noted of that yet. If so, text {discard} "
        "{tag}.",
        tag=tag,
    )

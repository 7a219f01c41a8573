"""THE STRIP WAS FROM S1, told at its reading, where one of S2 was asked for and noted (S4)."""

from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.replies.tags import tags_in
from flows.replies.typed import POLITE

OTHER_BOTTLE = "other_bottle"
"""Why such a strip says nothing: it may be of another product, or of a lot that is recalled."""

_SAYS_IT = frozenset({"FROM", "OF", "STRIP", "STRIPS", "WAS", "WERE", "TOOK", "DIPPED"})
_BESIDE = (
    POLITE
    | _SAYS_IT
    | {
        *(
            "THE",
            "A",
            "ONE",
            "IT",
            "ITS",
            "IT'S",
            "IS",
            "I",
            "WE",
            "SORRY",
            "OOPS",
            "WRONG",
            "BOTTLE",
        ),
        *("THAT", "BUT", "IN", "USED", "ACTUALLY", "MISTAKE", "BY"),
    }
)


def is_of_another_bottle(situation: Situation) -> bool:
    """Whether it says so of a bottle that is known here, and nothing else but a digit."""
    said = typed(situation)
    named = tags_in(said.words)
    bottles = {tag for tag in named.values() if tag in situation.clinic.strips}
    asked = situation.frame.memo.get("strips", "")
    if said.asks or not bottles or asked in bottles:
        return False
    rest = {word for word in said.words if word not in named and not word.isdecimal()}
    return not rest.isdisjoint(_SAYS_IT) and rest <= _BESIDE

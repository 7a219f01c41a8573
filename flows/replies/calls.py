"""HELP ME, PLEASE CALL ME: somebody asks for a person, and says nothing else (S17)."""

from itertools import pairwise

from flows.replies.typed import POLITE, Typed

_CALLS = frozenset({"CALL", "PHONE", "HELP"})
_WHOM = frozenset({"ME", "US", "SOMEONE", "SOMEBODY", "SUPERVISOR", "CONTACT"})
_BESIDE = (
    POLITE
    | _CALLS
    | _WHOM
    | {"I", "WE", "CAN", "COULD", "ANYONE", "NEED", "WANT", "TO", "MY", "OUR", "THE", "A", "SOME"}
    | {"HERE", "WITH", "THIS", "URGENT", "URGENTLY", "QUICK", "QUICKLY", "SOON", "SISTER"}
)


def asks_for_a_call(typed: Typed) -> bool:
    """Whether that is all it says. HELP alone the carriers answer themselves."""
    if not _BESIDE.issuperset(typed.words):
        return False
    pairs = set(pairwise(word for word in typed.words if word not in {"MY", "OUR", "THE", "SOME"}))
    return ("NEED", "HELP") in pairs or any(a in _CALLS and b in _WHOM for a, b in pairs)

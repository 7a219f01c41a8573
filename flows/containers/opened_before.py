"""OPENED LAST WEEK, SEAL WAS BROKEN: by text only what is opened now begins its open life (S5)."""

from flows.parts.decision import Decision, Saying, go
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.replies.gone_by import tells_of_before_beside_a_date

BEFORE = "before"
"""What the questions for its date and its lot read of it; no lot, as there is no figure in it."""

_OPEN = frozenset({"OPEN", "OPENED", "UNSEALED", "STARTED", "BEGUN", "USED"})
_SEAL, _OFF = (
    frozenset({"SEAL", "SEALED"}),
    frozenset({"BROKEN", "BROKE", "OFF", "TORN", "NOT", "NO"}),
)
_OF_BEFORE = frozenset(
    {"ALREADY", "BEFORE", "WAS", "WERE", "BEEN", "LONG", "DAYS", "WEEK", "WEEKS"}
    | {"MONTH", "MONTHS", "YEAR", "YEARS"}
)


def tells_of_open_before(situation: Situation) -> bool:
    """Whether it says that what is being opened has stood open."""
    words = {*typed(situation).words}
    is_of_before = bool(words & _OF_BEFORE) or tells_of_before_beside_a_date(words)
    return bool((words & _OPEN and is_of_before) or (words & _SEAL and words & _OFF))


def was_open(expiry: str) -> Decision:
    """Nothing is noted; the step called *expiry* asks for another one."""
    text = say(
        "containers.opened.before",
        "Opened before now? Then nothing is noted: do not use it, put it aside; your contact "
        "enters it with its day. Take a new one:",
    )
    return Decision(says=(Saying(text),), then=go(expiry))

"""I TOUCHED IT, RINSED IT, NOT SURE: why what came out does not go straight back in (S3)."""

from flows.replies.denied import DENIES
from flows.replies.numbers import is_figure
from flows.replies.typed import POLITE, Typed

_OLD_ANSWERS = frozenset({"RINSED", "DRIED", "WIPED"})
"""By themselves they answer a question of before, and a carrier may have brought them late."""
_TOUCHED = _OLD_ANSWERS | {"TOUCHED", "WASHED", "DROPPED", "FELL", "MOVED"}
_UNSURE = (("NOT", "SURE"), ("UNSURE",))


def was_touched(typed: Typed) -> bool:
    """Whether it says that it was, or that nobody is sure; a denial says neither."""
    said = tuple(each for each in typed.words if each not in POLITE and not is_figure(each))
    if typed.asks or (len(said) == 1 and said[0] in _OLD_ANSWERS):
        return False
    return said in _UNSURE or (not _TOUCHED.isdisjoint(said) and DENIES.isdisjoint(said))

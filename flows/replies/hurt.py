"""IT GOT IN MY EYE, SPILT, MY HAND BURNS: words of whoever may be hurt (S20)."""

import re
from itertools import pairwise

from flows.replies.typed import Typed

_HURT = re.compile(
    "(?:SPILL|SPILT|SPLASH|BURN|SWALLOW|POISON|INHAL).*|EYES?|SKIN|FUMES?|GAS|DRANK"
)
_DENIES = frozenset({"NO", "NOT", "NEVER", "WITHOUT", "NOTHING"})
_GIVES_OFF_GAS = {"BLEACH", "ACID"}
"""Together. Source: the makers' usual warning on bleach (from memory)."""


def words_of_hurt(typed: Typed) -> tuple[str, ...]:
    """Those of its words, none where there is no such; a question may well be of one."""
    pairs = pairwise(("", *typed.words))
    told = tuple(word for before, word in pairs if _HURT.fullmatch(word) and before not in _DENIES)
    return told or (typed.words if set(typed.words) >= _GIVES_OFF_GAS else ())

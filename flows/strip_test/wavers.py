"""1 OR 2, FIRST 1 THEN 2: who is between a pass and a fail is not sure (S4)."""

import re

from flows.replies.typed import POLITE, Typed

_BETWEEN = frozenset({"OR", "BETWEEN", "THEN", "NO", "BUT", "TO", "MAYBE", "PERHAPS"})
_BESIDE = POLITE | {
    *("AND", "FIRST", "IT", "ITS", "IT'S", "IS", "WAS", "A", "THE", "STRIP", "I", "THINK", "MEAN"),
    *("SORRY", "OOPS", "WAIT", "NOW"),
}
_JOINED = re.compile("([0-9]+)[/-]([0-9]+)")


def wavers(typed: Typed, passes: int, fails: int) -> bool:
    """Whether it says both digits as of one strip; 1 NOT 2 denies the one, and is asked back."""
    if typed.asks:
        return False
    words = [part for word in typed.words for part in _parts(word)]
    said = {word for word in words if word.isdecimal()}
    rest = {*words} - said
    is_between = not rest.isdisjoint(_BETWEEN)
    return said == {str(passes), str(fails)} and is_between and rest <= _BETWEEN | _BESIDE


def _parts(word: str) -> tuple[str, ...]:
    joined = _JOINED.fullmatch(word)
    return (joined[1], "OR", joined[2]) if joined else (word,)

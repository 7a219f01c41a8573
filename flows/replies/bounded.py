"""<5 %, ABOUT 5 %, 5-15 %: a bound or a band, where one strength is asked for (S4)."""

import re
from itertools import pairwise

from flows.replies.typed import Typed, fold

_SIGN = re.compile(
    r"(?<![-=])[<>~\u2264\u2265\u2248\u00b1]\s*=?\s*[.,]?[0-9]"  # <5 %, >= 5 %, ~5 %; not -> 5 %
    r"|[0-9]\s*%?\s*[<>~\u2264\u2265\u2248\u00b1]"  # 5 % >
    r"|%\+(?=\s|$)"  # 5%+; not 5% + 2 L
    r"|[0-9]\s*(?:-|TO)\s*[0-9]+(?:[.,][0-9]+)?\s*(?:%|PERCENT\b)"  # 5-15 %; not 5 % to 0.1 %
)
_IN_WORDS = frozenset(
    {"LESS", "UNDER", "BELOW", "MAX", "MAXIMUM", "MIN", "MINIMUM", "LEAST", "MOST", "OVER"}
    | {"ABOUT", "AROUND", "ROUGHLY", "ALMOST", "NEARLY", "APPROX", "APPROXIMATELY", "CIRCA"}
    | {"ABOVE", "BETWEEN", "MAYBE", "PERHAPS", "PROBABLY"}
)


def is_bounded(typed: Typed) -> bool:
    """Whether a figure in it says only how much at most, at least, or about.

    Household bleach may be labelled with a band alone: less than 5 %, 5 % to 15 %. Source:
    Regulation (EC) 648/2004 on detergents, Annex VII A (from memory).
    """
    has_words = not _IN_WORDS.isdisjoint(typed.words) or _up_to(typed.words)
    return has_words or _SIGN.search(fold(typed.text)) is not None


def _up_to(words: tuple[str, ...]) -> bool:
    return any(pair == ("UP", "TO") for pair in pairwise(words))

"""<20, 20+, ABOUT 20: what no instrument has shown is held to no limit (S17)."""

import re
from collections.abc import Iterable

from flows.replies.typed import Typed, fold

_FIGURE = r"([0-9]+(?:[.,][0-9]+)?)"
_SIGN_BEFORE = re.compile(rf"[<>~\u2248\u2264\u2265\u00b1]\s*{_FIGURE}")
_SIGN_BEHIND = re.compile(
    rf"{_FIGURE}\s?\u00b0?\s?[CF]?(?:\s?[<>~+]|(?<!\s)-(?=[\s.,!]|$))(?!\s*[0-9])"
)
"""A dash that stands apart is a dash."""
_ABOUT = frozenset(
    {"ABOUT", "AROUND", "ROUGHLY", "APPROX", "APPROXIMATELY", "CIRCA", "ALMOST", "NEARLY"}
)
_RIGHT_BEFORE = re.compile(r"\b(?:UNDER|BELOW|OVER|ABOVE) [0-9]")
"""UNDER by itself may be an answer, and OVER THE LINE is about no figure."""


def is_rough(typed: Typed, words: Iterable[str]) -> bool:
    """Whether one of the figures among *words* was typed as less, more or about so much."""
    said = tuple(words)
    if not _ABOUT.isdisjoint(said) or _RIGHT_BEFORE.search(" ".join(said)):
        return True
    text = fold(typed.text)
    signed = {*_SIGN_BEFORE.findall(text), *_SIGN_BEHIND.findall(text)}
    return any(
        re.match(rf"{re.escape(each)}(?![0-9.,])", word) for each in signed for word in said
    )

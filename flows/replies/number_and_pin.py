"""A short number and a PIN as they are typed, and a text without them (S14)."""

import re
from collections.abc import Callable

from flows.replies.typed import fold

MASK = "****"

_FILL = (
    r"(?:(?:NUMBER|NUM|NO|NR|PIN|PINCODE|CODE|MY|IS|I|AM|IM|ITS|AND|HELLO|HI|OK|PLEASE)[^\w%]+)*"
)
"""What people say around the two."""

_AT_THE_HEAD = re.compile(rf"\W*{_FILL}([0-9]{{1,2}})[^\w%]+{_FILL}([0-9]{{4,6}})(?![\w/])\W*")
_BOTH = re.compile(
    rf"(?<![\w.,])([0-9]{{1,2}}[^\w%]+{_FILL}|PIN[^\w%]+{_FILL})[0-9]{{4,8}}(?![0-9])",
    re.IGNORECASE,
)
_FIGURES = re.compile(r"(?<![0-9])[0-9]{4,8}(?![0-9])")
"""What may be a PIN, also where the short number has grown onto it, as in 42718."""

_RUNS = re.compile("[0-9]+")
_UNITS = re.compile(r"(?:ML|L|LITRES?|LITERS?|MG|G|PPM|C|F)\b")
"""2 1000 ML is a volume."""


def number_and_pin(line: str) -> tuple[re.Match[str], str] | None:
    """S14: number and PIN, and the rest of a line that begins with both: 4 271828 CLEAN V1."""
    folded = fold(line)
    found = _AT_THE_HEAD.match(folded)
    if found is None or _UNITS.match(folded, found.end()):
        return None
    return found, folded[found.end() :].strip()


def masked(body: str) -> str:
    """S14: a text without anything that could be a PIN."""
    return _without(_FIGURES, body, lambda _: MASK)


def masked_pair(body: str) -> str:
    """S14: a text without what stands behind a short number or the word PIN as a PIN does.

    What else has figures, a lot or a patient code, is kept.
    """
    return _without(_BOTH, body, lambda found: f"{found[1]}{MASK}")


def masked_but_code(body: str, command: str, labels: list[str]) -> str:
    """S14, S16: a text without any figures but the one code right behind USED V1."""
    safe = masked_pair(body)
    names = "|".join(map(re.escape, labels))
    behind = rf"\b{re.escape(command)}\W+(?:{names})(?:-\w{{4}})?\W+([0-9]{{4,8}})(?!\w)"
    code = re.search(behind, fold(safe)) if names else None
    if code is None:
        return masked(safe)
    safe = fold(safe)
    return f"{masked(safe[: code.start(1)])}{code[1]}{masked(safe[code.end(1) :])}"


def _without(pattern: re.Pattern[str], body: str, mask: Callable[[re.Match[str]], str]) -> str:
    # Signs that cannot be seen may part digits which the readers of answers put together again.
    folded = fold(body)
    is_as_seen = _RUNS.findall(body) == _RUNS.findall(folded)
    return pattern.sub(mask, body if is_as_seen else folded)

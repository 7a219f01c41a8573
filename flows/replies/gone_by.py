"""YESTERDAY, 3 DAYS AGO, 8:00: words beside what was done that make it one of before now (S5)."""

import re
from collections.abc import Collection

_WORDS = "YESTERDAY|AGO|EARLIER|LAST|MORNING|NIGHT|SINCE|(?!TODAY)[A-Z]+DAY|[0-9]{1,2}[:H][0-9]{2}"
_OF_BEFORE = re.compile(f"{_WORDS}|BEFORE|[0-9]{{1,2}}[.][0-9]{{2}}")
_BESIDE_A_DATE = re.compile(_WORDS)


def tells_of_before(words: Collection[str]) -> bool:
    """Whether any of these *words* says so; 8.05 may be a time."""
    return any(map(_OF_BEFORE.fullmatch, words))


def tells_of_before_beside_a_date(words: Collection[str]) -> bool:
    """The same, where an expiry may stand: 03.27, or BEST BEFORE 270331."""
    return any(map(_BESIDE_A_DATE.fullmatch, words))

"""YESTERDAY, 2 DAYS AGO, LAST FRIDAY: which day before today a text tells of (S7, S16)."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from flows.replies.numbers import IN_WORDS

_WEEKDAYS = ("MONDAY", "TUESDAY", "WEDNESDAY", "THURSDAY", "FRIDAY", "SATURDAY", "SUNDAY")
_SHORT = {
    **{day[:3]: day for day in _WEEKDAYS},
    "TUES": "TUESDAY",
    "WEDS": "WEDNESDAY",
    "THUR": "THURSDAY",
    "THURS": "THURSDAY",
}
_LONG = {"DAY": 1, "DAYS": 1, "WEEK": 7, "WEEKS": 7}
_SOME_TIME = frozenset({"WEEK", "MONTH", "TIME"})
_BEFORE_IT = frozenset({"ON", "LAST", "FROM", "OF"})
_HOUR_OF_IT = frozenset({"MORNING", "AFTERNOON", "EVENING", "NIGHT"})
_FIGURE = re.compile("[0-9]{1,2}")
_FURTHEST = 31
"""Days back; a figure above counts something else."""


@dataclass(frozen=True, slots=True)
class OfBefore:
    """A day before today, and what else was said; None where it is not said which."""

    day: date | None
    rest: tuple[str, ...]


def day_before(words: Sequence[str], today: date) -> OfBefore | None:
    """Which day before *today* it is of; None where nothing says that it is of another."""
    for at, word in enumerate(words):
        found = _that_begins_at(words, at, word, today)
        if found:
            day, length = found
            first = at - 1 if at and words[at - 1] in _BEFORE_IT else at
            return OfBefore(day, (*words[:first], *words[at + length :]))
    return None


def _that_begins_at(
    words: Sequence[str], at: int, word: str, today: date
) -> tuple[date | None, int] | None:
    after = [*words[at + 1 : at + 3], "", ""]
    if word == "YESTERDAY":
        return today - timedelta(days=1), 2 if after[0] in _HOUR_OF_IT else 1
    before = words[at - 1] if at else ""
    weekday = _weekday(before, word, after[0])
    if weekday is not None and (weekday != today.weekday() or before == "LAST"):
        ago = (today.weekday() - weekday) % 7 or 7
        return today - timedelta(days=ago), 2 if after[0] in _HOUR_OF_IT else 1
    if word == "LAST" and after[0] == "NIGHT":
        return today - timedelta(days=1), 2
    if word == "LAST" and after[0] in _SOME_TIME:
        return None, 2
    if after[0] in _LONG and after[1] == "AGO" and _counted(word):
        ago = _counted(word) * _LONG[after[0]]
        return (today - timedelta(days=ago) if ago in range(1, _FURTHEST + 1) else None), 3
    return (None, 2) if word in _LONG and after[0] == "AGO" else None


def _weekday(before: str, word: str, after: str) -> int | None:
    """Its number, Monday's being 0; SUN and SAT in the middle of a text may be other words."""
    is_clear = before in _BEFORE_IT or not after or after in _HOUR_OF_IT
    name = _SHORT.get(word, word) if is_clear else word
    return _WEEKDAYS.index(name) if name in _WEEKDAYS else None


def _counted(word: str) -> int:
    figure = "1" if word in {"A", "ONE"} else IN_WORDS.get(word, word)
    return int(figure) if _FIGURE.fullmatch(figure) else 0

"""What people type -> a value, or why not. Never an exception.

Every reader takes a `Typed` (or some of its words) and hands back a value, or a `NotUnderstood`
whose hint lets the flow ask again in words that fit the slip. A reader never guesses: where two
readings are possible it says so, and carries what the next question needs.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

HINTS = frozenset(
    {
        "empty",  # nothing that could be an answer
        "question",  # it ends with a question mark: they ask, they do not answer
        "word",  # not one of the words that would answer
        "near",  # one slip away from a word, which is in `near`
        "ambiguous",  # more than one; for dates both are in `dates`, a lot is in `near`
        "lot",  # more than a lot, or what may be none; what may be it is in `near`
        "taken",  # no lot, but the name of a container or a device here, which is in `near`
        "number",  # no number, or none that can be read
        "letter",  # an O behind a number, where it may be a nought or a degree sign
        "temperature",  # the temperature is missing
        "band",  # <5 %, ABOUT 5 %: only a bound of a strength
        "unit",  # which unit? `value` is the temperature in C if F was meant, or None
        "rough",  # <20, about 20: no instrument shows that
        "impossible",  # outside what can be: a bath of 215 C
        "no such date",  # the 31st of June, whose last day is in `dates`; month 13, and none is
        "bell number",  # the bell number is missing
        "wrong number",  # a bell number, but not the one that is open
        "name",  # not a patient code
        "date",  # not a date
        "day",  # a month without a day, where the day is needed
        "year",  # a day and a month, but no year
    }
)


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """Why a text is no answer: one of `HINTS`, and the evidence for the next question."""

    hint: str = ""
    near: str = ""
    value: Decimal | None = None
    dates: tuple[date, ...] = ()

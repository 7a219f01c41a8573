"""Numbers as typed: comma or point, spaces, stray words."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from flows.replies import NotUnderstood
from flows.replies.typed import Typed

# Twelve digits and six: more than any reading has, few enough that every sum stays exact.
_NUMBER = re.compile(r"(-?(?:[0-9]{1,12}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6}))([^0-9]*)")
_BEGINS = re.compile(r"-?[.,]?[0-9]")
_THOUSANDS = re.compile(r"-?[1-9][0-9]{0,2}[.,][0-9]{3}")
_DECIMAL_WITH_O = re.compile(r"(-?[0-9O]*[.,][0-9O]+)(.*)")
_WHOLE_WITH_O = re.compile(r"(-?[0-9O]*[0-9])(.*)")

_SMALL = ("ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE", "TEN")
_TEENS = (
    "ELEVEN",
    "TWELVE",
    "THIRTEEN",
    "FOURTEEN",
    "FIFTEEN",
    "SIXTEEN",
    "SEVENTEEN",
    "EIGHTEEN",
    "NINETEEN",
)
IN_WORDS: Mapping[str, str] = MappingProxyType(
    {word: str(number) for number, word in enumerate((*_SMALL, *_TEENS), start=1)}
)
"""Numbers that are one word and begin no other: TWENTY may have a FIVE behind it."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as it was typed, with what was glued to it."""

    digits: str
    value: Decimal | NotUnderstood
    unit: str = ""


def number(typed: Typed) -> Decimal | NotUnderstood:
    """Read the one number in a text, its digits kept; the same number twice is one."""
    return one_number(figures(typed.words)) if typed.words else NotUnderstood("empty")


def whole_numbers(typed: Typed) -> tuple[int, ...]:
    """Read every whole number of a text, in the order typed."""
    return tuple(
        int(figure.digits)
        for figure in figures(typed.words)
        if re.fullmatch("[0-9]+", figure.digits) and isinstance(figure.value, Decimal)
    )


def with_noughts(word: str) -> str:
    """Return a word with each O in its number as the nought it must be: 2O.5, O.5, 2O5.

    An O behind a whole number stays: 21O may be 210, or 21 with a degree sign.
    """
    found = _DECIMAL_WITH_O.fullmatch(word) or _WHOLE_WITH_O.fullmatch(word)
    if found is None or not any(each.isdecimal() for each in found[1]):
        return word
    return found[1].replace("O", "0") + found[2]


def figures(words: Sequence[str]) -> tuple[Figure, ...]:
    """Return every word that begins as a number does; V1 is a label and no number."""
    return tuple(_figure(word) for word in words if is_figure(word))


def is_figure(word: str) -> bool:
    """Whether a word begins as a number does."""
    return _BEGINS.match(word) is not None


def one_number(found: Sequence[Figure]) -> Decimal | NotUnderstood:
    """Return the number that all of these figures agree on."""
    if not found:
        return NotUnderstood("number")
    first = found[0].value
    for figure in found:
        if isinstance(figure.value, NotUnderstood):
            return figure.value
        if figure.value != first:
            return NotUnderstood("ambiguous")
    return first


def _figure(word: str) -> Figure:
    read = _NUMBER.fullmatch(word)
    if read is None:
        return Figure(word, NotUnderstood("number"))
    digits, unit = read.groups()
    # 1,000 is a thousand in one country and one in the next.
    if _THOUSANDS.fullmatch(digits):
        return Figure(digits, NotUnderstood("ambiguous"), unit)
    return Figure(digits, Decimal(digits.replace(",", ".")), unit)

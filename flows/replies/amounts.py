"""Volumes and strengths with their units: '2 L', '500ml', '1/2 L', '0.1%', '12 degrees'."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from types import MappingProxyType

from flows.replies import NotUnderstood
from flows.replies.bounded import is_bounded
from flows.replies.numbers import figures, is_figure, with_noughts
from flows.replies.typed import POLITE, Typed

PLAUSIBLE_ML = (Decimal(50), Decimal(50_000))
"""What is mixed or poured away at a sink at once. Source: common practice, none published."""

_BELOW_THIS_A_PERCENT = 1
"""Below this a number without a unit, beside a volume, can only be a strength: 0.1, 0.5; a whole
one may have lost its point: 01 for 0.1, 1 5 for 1.5. Source: common practice, none published."""

_A_LITRE = Decimal(1000)
_VOLUMES: Mapping[str, Decimal] = MappingProxyType(
    dict.fromkeys(
        ("L", "LT", "LTS", "LTR", "LTRS", "LIT", "LITRE", "LITRES", "LITER", "LITERS"), _A_LITRE
    )
    | dict.fromkeys(("ML", "MLS", "CC", "MILLILITRE", "MILLILITRES"), Decimal(1))
    | {"CL": Decimal(10), "DL": Decimal(100)}
    | dict.fromkeys(("MILLILITER", "MILLILITERS"), Decimal(1))
)
_WEIGHTS: Mapping[str, Decimal] = MappingProxyType(
    dict.fromkeys(("G", "GR", "GM", "GMS", "GRAM", "GRAMS"), Decimal(1))
    | dict.fromkeys(("KG", "KILO", "KILOS"), Decimal(1000))
)
_STRENGTHS: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(("%", "PERCENT", "CENT", "PCT", "PC"), "%")
    | dict.fromkeys(("\u00b0", "DEG", "DEGREE", "DEGREES", "CHL", "\u00b0CHL"), "degrees")
    | dict.fromkeys(("DEGRE", "DEGRES"), "degrees")
    | {"PPM": "ppm"}
)
_KNOWN = frozenset({*_VOLUMES, *_WEIGHTS, *_STRENGTHS.values()})
_OF_CHLORINE = "CHL"
"""So begins every word for degrees of chlorine behind DEGREES: chlorometric, chlorum, chl."""

_NOT_METRIC = re.compile("[0-9.,/]*(GALS?|GALLONS?|PINTS?|PTS?|QUARTS?|QTS?|OZ|OUNCES?|FL)")
"""Measures that are not the same size in every country."""

_BETWEEN = frozenset(
    {"OF", "FROM", "IN", "INTO", "TO", "AT", "WITH", "AND", "FOR"} | {"SOLUTION", "WATER"}
)
_OF_WHAT = frozenset({"DETERGENT", "CHLORINE", "BLEACH", "POWDER"})
"""Both may follow a number and are no unit."""

_IN_WORDS: Mapping[str, str] = MappingProxyType(
    {"HALF": "1/2", "ONE": "1", "TWO": "2", "THREE": "3", "FOUR": "4", "FIVE": "5", "SIX": "6"}
    | {"SEVEN": "7", "EIGHT": "8", "NINE": "9", "TEN": "10"}
)
_ARTICLES = frozenset({"A", "AN"})
_MEANS_NOTHING = frozenset(
    {"ME", "I", "NEED", "THE", "SOME", "UP", "MORE", "NEW", "FRESH", "OUR", "MY", "ANOTHER"}
    | {"ABOUT", "AROUND", "ROUGHLY", "ALMOST", "JUST", *POLITE}
)
"""What people say beside an amount that changes nothing about it."""

_JOINED = re.compile("([0-9.,/OA-Z]*?)-([A-Z]+)")
_NOUGHTS = re.compile("([0-9]+O+)([A-Z]*)")

_NUMBER_AND_UNIT = re.compile("[0-9]+(?:[.,][0-9]+)?([A-Z]+)")

_BEFORE_A_UNIT = re.compile("^[0-9.,/-]*")

_LOST_ITS_POINT = re.compile("0[0-9]+[^0-9.,]*")
"""05 % may be 0.5 %, or 5 %."""

_WHOLE = re.compile("[0-9]{1,2}")
_PART = re.compile("([1-9])[/\u2044]([248])([^0-9]*)")


OwnUnits = Mapping[str, tuple[Decimal, str]]
"""A site's own measures by their names, in upper case: how many 'ml' or 'g' one of them holds."""
_NO_OWN: OwnUnits = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Strength:
    """A strength as typed; *unit* is '%', 'degrees' (chlorometric) or 'ppm'."""

    value: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Amounts:
    """One volume and up to two strengths, in the order typed: what is wanted, what it is of."""

    volume_ml: Decimal
    strengths: tuple[Strength, ...] = ()


@dataclass(frozen=True, slots=True)
class Quantities:
    """Whatever amounts there are, in the order typed."""

    volumes_ml: tuple[Decimal, ...]
    strengths: tuple[Strength, ...]
    grams: tuple[Decimal, ...]


@dataclass(frozen=True, slots=True)
class _Amount:
    value: Decimal
    unit: str


def amounts(typed: Typed) -> Amounts | NotUnderstood:
    """Read every amount of a text; a doubtful one is asked back, with the number it is about.

    A number without a unit is never a volume, and is a strength only where nothing else is
    possible.
    """
    read = quantities(typed)
    if isinstance(read, NotUnderstood):
        return read
    if read.grams:
        return NotUnderstood("unit", value=read.grams[0])
    return _together(read.volumes_ml, read.strengths)


def quantities(typed: Typed, own: OwnUnits = _NO_OWN) -> Quantities | NotUnderstood:
    """Every amount of a text by its kind, in the order typed, each clear by itself.

    S4: a strength that is only bounded is none: no strip shows half of the chlorine.
    """
    if any(map(_is_a_strength, typed.words)) and is_bounded(typed):
        return NotUnderstood("band")
    found = list(_found(_spelt(typed.words), own))
    for each in found:
        if isinstance(each, NotUnderstood):
            return each
    read = [each for each in found if isinstance(each, _Amount)]
    volumes = [each.value * _VOLUMES[each.unit] for each in read if each.unit in _VOLUMES]
    strengths = [each for each in read if each.unit not in _VOLUMES]
    doubtful = [
        each for each in strengths if not each.unit and each.value >= _BELOW_THIS_A_PERCENT
    ]
    if doubtful:
        return NotUnderstood("unit", value=doubtful[0].value)
    return Quantities(
        tuple(volumes),
        tuple(Strength(each.value, each.unit or "%") for each in strengths if not _weighs(each)),
        tuple(each.value * _WEIGHTS[each.unit] for each in strengths if _weighs(each)),
    )


def _is_a_strength(word: str) -> bool:
    """5% or its unit alone; of 5-15% the unit is enough."""
    return _BEFORE_A_UNIT.sub("", word) in _STRENGTHS


def _weighs(amount: _Amount) -> bool:
    return amount.unit in _WEIGHTS


def unread(typed: Typed) -> tuple[str, ...]:
    """Words that are neither an amount nor one of those that may stand beside one.

    They may name what is to be mixed, and it may be something else than is thought.
    """
    return tuple(word for word in of_what(typed) if word not in _OF_WHAT)


def of_what(typed: Typed) -> tuple[str, ...]:
    """The same, and the names of what is mixed."""
    known = {*_VOLUMES, *_WEIGHTS, *_STRENGTHS, *_BETWEEN, *_ARTICLES, *_MEANS_NOTHING}
    words = (word for word in _spelt(typed.words) if not is_figure(word) and word not in known)
    return tuple(word for word in words if not _NOT_METRIC.fullmatch(word))


def is_volume(word: str) -> bool:
    """Whether one word is an amount of liquid: 5L, 500ml."""
    found = _NUMBER_AND_UNIT.fullmatch(word)
    return found is not None and found[1] in _VOLUMES


def is_not_metric(typed: Typed) -> bool:
    """Whether somebody counts in gallons or the like, which no number here is read in."""
    return any(_NOT_METRIC.fullmatch(word) for word in typed.words)


def _together(
    volumes: Sequence[Decimal], strengths: Sequence[Strength]
) -> Amounts | NotUnderstood:
    if not volumes:
        return NotUnderstood(*("unit", "", strengths[0].value) if strengths else ("empty",))
    if len(set(volumes)) > 1 or len(strengths) > 2:  # noqa: PLR2004  wanted, and what it is of
        return NotUnderstood("ambiguous")
    if not PLAUSIBLE_ML[0] <= volumes[0] <= PLAUSIBLE_ML[1]:
        return NotUnderstood("impossible", value=volumes[0])
    return Amounts(volumes[0], tuple(strengths))


def _spelt(words: tuple[str, ...]) -> tuple[str, ...]:
    """Numbers in words as figures, O as the nought it is: two and a half L, half a L, 5OO ml."""
    parted = [part for word in words for part in _parted(word) if part not in _ARTICLES]
    figured = [with_noughts(_IN_WORDS.get(word, word)) for word in parted]
    spelt: list[str] = []
    for word, after in pairwise([*figured, ""]):
        noughts = _NOUGHTS.fullmatch(word)
        if noughts and (noughts[2] or after) in _VOLUMES:
            spelt.append(noughts[1].replace("O", "0") + noughts[2])
        elif (word, after) == ("PER", "CENT"):
            continue
        elif word != "AND" or not _PART.fullmatch(after):
            spelt.append(word)
    return tuple(
        word for before, word in pairwise(["", *spelt]) if not _says_of_what(before, word)
    )


def _says_of_what(before: str, word: str) -> bool:
    """The second word of degrees chlorometric."""
    unit = before.lstrip("0123456789.,")
    return word.startswith(_OF_CHLORINE) and _STRENGTHS.get(unit) == "degrees"


def _parted(word: str) -> tuple[str, ...]:
    """2-litre is 2 litre; 2-3 L stays as it is, and so does -2 L."""
    joined = _JOINED.fullmatch(word)
    return (joined[1], joined[2]) if joined and joined[1] else (word,)


def _found(words: tuple[str, ...], own: OwnUnits) -> Iterator[_Amount | NotUnderstood]:
    """Each number with its unit, glued to it or the next word."""
    left = list(words)
    while left:
        word = left.pop(0)
        if not is_figure(word):
            continue
        value, unit = _value(word, left)
        if isinstance(value, NotUnderstood):
            yield value
            continue
        if not unit and left and not is_figure(left[0]) and left[0] not in _BETWEEN | _OF_WHAT:
            unit = left.pop(0)
        unit = _STRENGTHS.get(unit, unit)
        if unit in own and unit not in _KNOWN:
            size, unit = own[unit]
            value, unit = value * size, unit.upper()
        yield _amount(word, value, unit)


def _amount(word: str, value: Decimal, unit: str) -> _Amount | NotUnderstood:
    """Not with a unit that nobody knows; and a half by itself is half of anything."""
    if unit in _STRENGTHS.values() and _LOST_ITS_POINT.fullmatch(word):
        return NotUnderstood("ambiguous")
    is_clear = unit in _KNOWN or (not unit and _PART.fullmatch(word) is None)
    return _Amount(value, unit) if is_clear else NotUnderstood("unit", value=value)


def _value(word: str, left: list[str]) -> tuple[Decimal | NotUnderstood, str]:
    """A half, one and a half in two words, or a number as any other; with what is glued to it."""
    whole = Decimal(0)
    part = _PART.fullmatch(word)
    if part is None and left and _WHOLE.fullmatch(word):
        part = _PART.fullmatch(left[0])
        if part:
            whole = Decimal(word)
            left.pop(0)
    if part is None:
        (figure,) = figures([word])
        return figure.value, figure.unit
    return whole + Decimal(part[1]) / Decimal(part[2]), part[3]

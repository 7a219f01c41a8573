"""C or F, limits, '68 F = 20.0 C?' (S17)."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from flows.replies import NotUnderstood
from flows.replies.numbers import Figure, figures, is_figure, one_number, with_noughts
from flows.replies.rough import is_rough
from flows.replies.typed import Typed

PLAUSIBLE = (Decimal(0), Decimal(45))
"""What a bath by a sink can have, in C. Source: common practice, none published."""

_CELSIUS = frozenset({"C", "OC", "CEL", "CELSIUS", "CELCIUS", "CENTIGRADE"})
_FAHRENHEIT = frozenset({"F", "FAHR", "FAHRENHEIT", "FARENHEIT", "FAHRENHIET"})
_NOT_A_TEMPERATURE = frozenset(
    {"K", "KELVIN", "%", "PPM", "ML", "L", "S", "SEC", "SECS", "MIN", "MINS", "MINUTES"}
    | {"H", "HR", "HRS", "HOUR", "HOURS", "DAY", "DAYS", "MINUS", "BELOW"}
)
# The question mark: a degree sign that some carrier could not carry.
_DEGREES = re.compile(r"(\u00b0|[*'?]|DEG(?:REE)?S?)?\.?([A-Z]*)")


@dataclass(frozen=True, slots=True)
class Reading:
    """A temperature as read from a thermometer."""

    celsius: Decimal
    """C with the digits typed; from F rounded down to 0.1, never up to a limit."""
    as_typed_unit: str
    """C or F, or empty where no unit was typed."""


def temperature(
    typed: Typed, plausible: tuple[Decimal, Decimal] = PLAUSIBLE
) -> Reading | NotUnderstood:
    """S17: a reading is a number with a unit and limits; both limits are plausible themselves.

    A number without a unit is taken as C only where it could not be F. C = (F - 32) * 5 / 9.
    Source: definition of the degree Fahrenheit, BIPM SI Brochure and NIST SP 811 (from memory).
    """
    words = tuple(map(with_noughts, typed.words))
    if is_rough(typed, words):
        return NotUnderstood("rough")
    return reading(words, plausible) if words else NotUnderstood("empty")


def reading(words: Sequence[str], plausible: tuple[Decimal, Decimal]) -> Reading | NotUnderstood:
    """S17: read the one temperature that these words hold."""
    value = one_number(figures(words))
    if isinstance(value, NotUnderstood):
        return value
    unit = _unit(words)
    if isinstance(unit, NotUnderstood):
        return unit
    from_f = (Fraction(value) - 32) * 5 / 9
    could_be_c = plausible[0] <= value <= plausible[1]
    could_be_f = plausible[0] <= from_f <= plausible[1]
    if not {"C": could_be_c, "F": could_be_f}.get(unit, could_be_c or could_be_f):
        return NotUnderstood("impossible")
    if unit == "F":
        return Reading(_down_to_a_tenth(from_f), unit)
    if not unit and could_be_f:
        return NotUnderstood("unit", value=_down_to_a_tenth(from_f))
    return Reading(value, unit)


def unit_of(word: str) -> str | None:
    """Return C or F, empty for a degree sign alone, or None where the word is no such unit."""
    read = _DEGREES.fullmatch(word)
    if read is None:
        return None
    degrees, letters = read.groups()
    if letters in _CELSIUS:
        return "C"
    if letters in _FAHRENHEIT:
        return "F"
    return "" if degrees and not letters else None


def _unit(words: Sequence[str]) -> str | NotUnderstood:
    glued = [figure.unit for figure in figures(words) if figure.unit]
    apart = [word for word in words if not is_figure(word)]
    if any(map(_ends_in_o, figures(words))):
        return NotUnderstood("letter")
    if any(unit_of(unit) is None for unit in glued) or not _NOT_A_TEMPERATURE.isdisjoint(apart):
        return NotUnderstood("unit")
    units = {unit for unit in map(unit_of, [*glued, *apart]) if unit}
    if len(units) > 1:
        return NotUnderstood("ambiguous")
    return units.pop() if units else ""


def _ends_in_o(figure: Figure) -> bool:
    """20 or 2 degrees: 2O and 2OC leave it open; 21OC does not, there is no bath of 210 C."""
    return figure.unit == "O" or (figure.unit.startswith("O") and len(figure.digits) == 1)


def _down_to_a_tenth(celsius: Fraction) -> Decimal:
    return Decimal(math.floor(celsius * 10)).scaleb(-1)

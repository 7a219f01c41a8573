"""How strong a solution is: percent, degrees chlorometric and parts per million, exactly."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

Number = Fraction | Decimal | int
"""What a sum takes. Never a float: what is measured out must follow from what was written."""

REASONS = frozenset(
    {
        "nonsense",  # no number at all, or no end to it
        "not above zero",  # nothing, or less than nothing
        "above all",  # more than 100 %
        "stronger than its source",  # water only ever weakens
        "no liquid",  # stronger than any bleach: powder, if anything
        "too coarse",  # the measure is too large for so little
    }
)

PERCENT_A_DEGREE = Fraction(3, 10)
_PPM_A_PERCENT = 10_000
_WHOLE = 100


@dataclass(frozen=True, slots=True)
class Impossible:
    """Why something cannot be mixed, as one of `REASONS`: a value, for whoever answers a text."""

    because: str


def above_zero(value: Number) -> Fraction | Impossible:
    """Return an amount exactly, or why it is none."""
    if isinstance(value, Decimal) and not value.is_finite():
        return Impossible("nonsense")
    exact = Fraction(value)
    return exact if exact > 0 else Impossible("not above zero")


def percent(value: Number) -> Fraction | Impossible:
    """Return a strength in percent exactly: above 0, at most 100."""
    exact = above_zero(value)
    if isinstance(exact, Fraction) and exact > _WHOLE:
        return Impossible("above all")
    return exact


def percent_from_degrees(degrees: Number) -> Fraction | Impossible:
    """Return percent active chlorine of bleach marked in degrees chlorometric: 0.3 % a degree.

    Source: CDC, Best Practices for Environmental Cleaning in Global Healthcare Facilities with
    Limited Resources, Appendix E; WHO, interim guidance on filovirus, p. 24.
    """
    exact = above_zero(degrees)
    return exact if isinstance(exact, Impossible) else percent(exact * PERCENT_A_DEGREE)


def percent_from_ppm(ppm: Number) -> Fraction | Impossible:
    """Return percent of parts per million: 0.1 % is 1,000 ppm, 0.5 % is 5,000 ppm.

    Source: PLOS ONE 2016;11(5):e0156136.
    """
    exact = above_zero(ppm)
    return exact if isinstance(exact, Impossible) else percent(exact / _PPM_A_PERCENT)


IN_PERCENT: Mapping[str, Callable[[Decimal], Fraction | Impossible]] = MappingProxyType(
    {"%": percent, "degrees": percent_from_degrees, "ppm": percent_from_ppm}
)
"""A strength by its unit."""


def weakened(source: Number, wanted: Number) -> tuple[Fraction, Fraction] | Impossible:
    """Return both strengths exactly, or why the one cannot be made of the other."""
    strong, weak = percent(source), percent(wanted)
    if isinstance(strong, Impossible):
        return strong
    if isinstance(weak, Impossible):
        return weak
    return Impossible("stronger than its source") if weak > strong else (strong, weak)

"""What a hand can measure: whole millilitres and grams, or a site's own cap, spoon or scoop.

Rounding only ever goes towards stronger, and by one measure at most. No spoon is universal: a
measure is what a site says it is.
"""

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from flows.calculations.chlorine import PowderMix
from flows.calculations.dilution import LITRE_ML, LiquidMix
from flows.calculations.strength import Impossible, Number, above_zero

AT_MOST = Fraction(3, 2)
"""So many times the wanted amount, and no more, may come of rounding up; else the measure is too
coarse. Source: WHO Laboratory Biosafety Manual, Table 12: one whole tablet in a litre, for 0.1 %,
gives 0.15 %."""

_WRITTEN = re.compile(r"([a-z]{2,8}) ([0-9]{1,4}(?:\.[0-9]{1,2})?) (ml|g)")


@dataclass(frozen=True, slots=True)
class Measure:
    """A cap, a spoon, a scoop: its name, and how many of *unit* ('ml' or 'g') it holds."""

    name: str
    size: Fraction
    unit: str


ML = Measure("ml", Fraction(1), "ml")
GRAM = Measure("g", Fraction(1), "g")


@dataclass(frozen=True, slots=True)
class Measured:
    """So many times a measure."""

    count: int
    measure: Measure

    @property
    def amount(self) -> Fraction:
        """In ml or g, as the measure is."""
        return self.count * self.measure.size


def measure_as_written(written: str) -> Measure | None:
    """Read a site's own measure, as 'cap 5 ml' or 'spoon 15 g'; None for anything else."""
    found = _WRITTEN.fullmatch(written)
    size = Fraction(found[2]) if found else Fraction(0)
    return Measure(found[1], size, found[3]) if found and size else None


def measured(exact: Number, measure: Measure) -> Measured | Impossible:
    """Return the fewest whole measures that are not less than *exact*.

    Source: common practice, none published, but for `AT_MOST`.
    """
    least = above_zero(exact)
    if isinstance(least, Impossible):
        return least
    taken = Measured(math.ceil(least / measure.size), measure)
    return taken if taken.amount <= AT_MOST * least else Impossible("too coarse")


def as_measured(
    exact: Number, own: Measure | None, unit: str, at_most: Number
) -> Measured | Impossible:
    """As `measured`, in a site's own measure where that is of the unit and fine enough.

    Never more than *at_most*, which is the whole; else in whole ml or grams.
    Source: as `measured`.
    """
    if own and own.unit == unit:
        found = measured(exact, own)
        if isinstance(found, Measured) and found.amount <= at_most:
            return found
    return measured(exact, ML if unit == ML.unit else GRAM)


def measured_into_water(mix: LiquidMix, measure: Measure = ML) -> LiquidMix | Impossible:
    """Round the source up; the water stays as it is. Source: as `measured`."""
    taken = measured(mix.source_ml, measure)
    return taken if isinstance(taken, Impossible) else LiquidMix(taken.amount, mix.water_ml)


def measured_made_up(mix: LiquidMix, measure: Measure = ML) -> LiquidMix | Impossible:
    """Round the source up and its water down to whole ml: the whole never grows.

    Source: as `measured`.
    """
    taken = measured(mix.source_ml, measure)
    if isinstance(taken, Impossible):
        return taken
    if taken.amount > mix.total_ml:
        return Impossible("too coarse")
    return LiquidMix(taken.amount, Fraction(math.floor(mix.total_ml - taken.amount)))


def measured_powder(mix: PowderMix, measure: Measure = GRAM) -> PowderMix | Impossible:
    """Round the powder up; the whole stays as it is. Source: as `measured`."""
    taken = measured(mix.grams, measure)
    return taken if isinstance(taken, Impossible) else PowderMix(taken.amount, mix.total_ml)


def whole_ml(exact: Fraction) -> Decimal:
    """Round what an amount makes down: whole ml, and whole 10 ml from a litre on.

    Less water is stronger, by a hundredth at most from 100 ml on. Source: common practice, none
    published.
    """
    step = 1 if exact < LITRE_ML else 10
    return Decimal(math.floor(exact / step) * step)

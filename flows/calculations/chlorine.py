"""Chlorine from bleach and from powder, by the published formulas; amounts both ways."""

from dataclasses import dataclass
from fractions import Fraction

from flows.calculations.dilution import LITRE_ML, LiquidMix
from flows.calculations.strength import Impossible, Number, above_zero, percent, weakened

MIXED_LIFE_DAYS = 1
"""How long a mixed solution is good at most: up to 24 h, and new each day.
Source: CDC sheet CS316270A, 15 May 2020."""

STRONGEST_BLEACH = Fraction(15)
"""Percent chlorine that liquid bleach has at most; what is marked with more is powder.
Source: common practice, no source; powders of 35 to 70 % are in the tables of CDC, Best Practices
for Environmental Cleaning, Appendix E, and WHO Laboratory Biosafety Manual, Table 12."""

STRONGEST_MIXED = Fraction(1, 2)
"""Percent chlorine that is mixed for use at most: what has no more was mixed before.
Source: 0.5 %: CDC, Best Practices for Environmental Cleaning in Global Healthcare Facilities with
Limited Resources, Appendix E; WHO, interim guidance on filovirus, p. 24. The weakest bleach that
these and CDC's Ebola poster, 2014, dilute has 2.6 %."""


@dataclass(frozen=True, slots=True)
class PowderMix:
    """Grams of powder, with water up to so many ml in all."""

    grams: Fraction
    total_ml: Fraction

    def strength(self, source: Fraction) -> Fraction:
        """Percent chlorine (grams in 100 ml), *source* being that in the powder."""
        return self.grams * source / self.total_ml


def bleach_percent(value: Number) -> Fraction | Impossible:
    """Return the percent of what is said to be bleach, or why no liquid has it.

    Powder taken for bleach would be far too weak: its sum is in ml, not in grams.
    """
    exact = percent(value)
    if isinstance(exact, Fraction) and exact > STRONGEST_BLEACH:
        return Impossible("no liquid")
    return exact


def was_mixed_before(source: Fraction, wanted: Fraction) -> bool:
    """Whether a source is no bleach or powder as bought, but a solution of nobody knows what age.

    By the formula alone 0.11 % makes 0.1 %, and by then it must not have lost a tenth. Mixed
    chlorine has lost that within hours to days by kind: PLOS ONE 2016;11(5):e0156136, abstract.
    """
    return source <= max(STRONGEST_MIXED, wanted)


def water_parts(source: Number, wanted: Number) -> Fraction | Impossible:
    """Return parts of water to one part of bleach: percent in the bottle / percent wanted - 1.

    Source: CDC, Best Practices for Environmental Cleaning in Global Healthcare Facilities with
    Limited Resources, Appendix E; WHO, interim guidance on filovirus, p. 24; a course on infection
    prevention of an international health charity, module 7.
    """
    both = weakened(source, wanted)
    return both if isinstance(both, Impossible) else both[0] / both[1] - 1


def grams_per_litre(source: Number, wanted: Number) -> Fraction | Impossible:
    """Return grams of powder in a litre: percent wanted / percent in the powder x 1000.

    Source: as `water_parts`.
    """
    both = weakened(source, wanted)
    return both if isinstance(both, Impossible) else both[1] / both[0] * LITRE_ML


def from_bleach(total_ml: Number, source: Number, wanted: Number) -> LiquidMix | Impossible:
    """Return bleach and water that make *total_ml* in all. Source: as `water_parts`."""
    total, parts = above_zero(total_ml), water_parts(source, wanted)
    if isinstance(total, Impossible):
        return total
    if isinstance(parts, Impossible):
        return parts
    bleach = total / (parts + 1)
    return LiquidMix(bleach, total - bleach)


def from_powder(total_ml: Number, source: Number, wanted: Number) -> PowderMix | Impossible:
    """Return the powder for *total_ml* in all.

    The published sums leave out the room that the powder takes. Made up to a litre they are
    exact; stirred into a litre they would be a hair weak. Source: as `water_parts`.
    """
    total, grams = above_zero(total_ml), grams_per_litre(source, wanted)
    if isinstance(total, Impossible):
        return total
    if isinstance(grams, Impossible):
        return grams
    return PowderMix(grams * total / LITRE_ML, total)


def made_of_bleach(bleach_ml: Number, source: Number, wanted: Number) -> LiquidMix | Impossible:
    """Return how much of the wanted strength that much bleach makes. Source: as `water_parts`."""
    bleach, parts = above_zero(bleach_ml), water_parts(source, wanted)
    if isinstance(bleach, Impossible):
        return bleach
    return parts if isinstance(parts, Impossible) else LiquidMix(bleach, bleach * parts)


def made_of_powder(grams: Number, source: Number, wanted: Number) -> PowderMix | Impossible:
    """Return how much of the wanted strength that much powder makes. Source: as `water_parts`."""
    powder, each = above_zero(grams), grams_per_litre(source, wanted)
    if isinstance(powder, Impossible):
        return powder
    return each if isinstance(each, Impossible) else PowderMix(powder, powder * LITRE_ML / each)


def strength_of_bleach(
    bleach_ml: Number, water_ml: Number, source: Number
) -> Fraction | Impossible:
    """Return percent chlorine of what somebody says was mixed; no water leaves it as it was.

    Source: the formula of `water_parts`, solved for the percent.
    """
    bleach, strong = above_zero(bleach_ml), percent(source)
    water = Fraction(0) if water_ml == 0 else above_zero(water_ml)
    if isinstance(bleach, Impossible):
        return bleach
    if isinstance(water, Impossible):
        return water
    return strong if isinstance(strong, Impossible) else strong * bleach / (bleach + water)


def strength_of_powder(grams: Number, total_ml: Number, source: Number) -> Fraction | Impossible:
    """Return percent chlorine of so much powder in so much solution; powder alone is none.

    Source: the formula of `grams_per_litre`, solved for the percent.
    """
    powder, total, strong = above_zero(grams), above_zero(total_ml), percent(source)
    if isinstance(powder, Impossible):
        return powder
    if isinstance(total, Impossible):
        return total
    if isinstance(strong, Impossible):
        return strong
    return percent(PowderMix(powder, total).strength(strong))

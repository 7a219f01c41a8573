"""Liquid into water: added to a litre, or made up to a litre; amounts, both ways.

Ten millilitres added to a litre give 1,010 ml; ten made up to a litre give 1,000 ml, and are
stronger. A ratio therefore says by its type which of the two it is, and each way of mixing takes
only its own.
"""

from dataclasses import dataclass
from fractions import Fraction

from flows.calculations.strength import Impossible, Number, above_zero

LITRE_ML = 1000


@dataclass(frozen=True, slots=True)
class AddedToALitre:
    """Millilitres of concentrate poured into each 1,000 ml of water; the whole is more."""

    ml: Fraction


@dataclass(frozen=True, slots=True)
class MadeUpToALitre:
    """Millilitres of concentrate in each 1,000 ml of the finished solution."""

    ml: Fraction


@dataclass(frozen=True, slots=True)
class LiquidMix:
    """So much of a source and so much water, in ml."""

    source_ml: Fraction
    water_ml: Fraction

    @property
    def total_ml(self) -> Fraction:
        """Both together; that liquids shrink a little when they meet is left out."""
        return self.source_ml + self.water_ml

    @property
    def share(self) -> Fraction:
        """How much of the whole is the source: 1 is the source itself."""
        return self.source_ml / self.total_ml

    @property
    def added(self) -> AddedToALitre | Impossible:
        """The same mix as a ratio to its water; none where there is no water."""
        if self.water_ml <= 0:
            return Impossible("not above zero")
        return AddedToALitre(self.source_ml * LITRE_ML / self.water_ml)


def as_made_up(ratio: AddedToALitre) -> MadeUpToALitre:
    """Return the same strength as a ratio to the finished solution."""
    return MadeUpToALitre(ratio.ml * LITRE_ML / (LITRE_ML + ratio.ml))


def as_added(ratio: MadeUpToALitre) -> AddedToALitre | Impossible:
    """Return the same strength as a ratio to the water; none for the concentrate itself."""
    if ratio.ml >= LITRE_ML:
        return Impossible("stronger than its source")
    return AddedToALitre(ratio.ml * LITRE_ML / (LITRE_ML - ratio.ml))


def added_to(water_ml: Number, ratio: AddedToALitre) -> LiquidMix | Impossible:
    """Return what goes into *water_ml* of water; the whole is more than that.

    Source: an instrument maker's care manual, p. 8: 1 US fl oz to a US gallon of tap water.
    """
    water, ml = above_zero(water_ml), above_zero(ratio.ml)
    if isinstance(water, Impossible):
        return water
    if isinstance(ml, Impossible):
        return ml
    return LiquidMix(water * ml / LITRE_ML, water)


def made_up_to(total_ml: Number, ratio: MadeUpToALitre) -> LiquidMix | Impossible:
    """Return what gives *total_ml* in all, water and concentrate together.

    Source: WHO Laboratory Biosafety Manual, Table 12: its millilitres per litre hold only so.
    """
    total, ml = above_zero(total_ml), above_zero(ratio.ml)
    if isinstance(total, Impossible):
        return total
    if isinstance(ml, Impossible):
        return ml
    if ml > LITRE_ML:
        return Impossible("stronger than its source")
    source = total * ml / LITRE_ML
    return LiquidMix(source, total - source)


def made_of(source_ml: Number, ratio: AddedToALitre) -> LiquidMix | Impossible:
    """Return how much solution *source_ml* of concentrate makes: the other way of `added_to`.

    Source: the same ratio, solved for the water.
    """
    source, ml = above_zero(source_ml), above_zero(ratio.ml)
    if isinstance(source, Impossible):
        return source
    if isinstance(ml, Impossible):
        return ml
    return LiquidMix(source, source * LITRE_ML / ml)

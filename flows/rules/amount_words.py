"""How an amount is said: in ml, grams and litres, and in the site's own measure."""

import math
from decimal import Decimal
from fractions import Fraction

from flows.calculations.measuring import GRAM, ML, Measure, Measured
from flows.parts.text import Text, say

_LITRE_ML = 1000


def dose(amount: Measured) -> Text:
    """So many ml or g, and how many of the site's measure that is."""
    own: Measure = amount.measure
    if own in {GRAM, ML}:
        return ml_or_grams(amount.amount, own.unit)
    return say(
        "mix.own_measure",
        "{times} x {measure} ({amount} {unit})",
        times=amount.count,
        measure=own.name,
        amount=shown(amount.amount),
        unit="mL" if own.unit == ML.unit else own.unit,
    )


def ml_or_grams(amount: Fraction, unit: str) -> Text:
    """As it is measured out: 1500 ml is no litre and a half."""
    if unit == GRAM.unit:
        return say("mix.grams", "{amount} g", amount=shown(amount))
    return say("mix.millilitres", "{amount} mL", amount=shown(amount))


def volume(volume_ml: Decimal) -> Text:
    """In litres from one litre on."""
    if volume_ml < _LITRE_ML:
        return ml_or_grams(Fraction(volume_ml), ML.unit)
    return say("mix.litres", "{amount} L", amount=shown(Fraction(volume_ml / _LITRE_ML)))


def shown(value: Fraction, places: int = 3) -> Decimal:
    """To so many places and rounded down: nothing is called stronger than it is."""
    scaled = Decimal(math.floor(value * 10**places)).scaleb(-places)
    return Decimal(format(scaled.normalize(), "f"))

"""One batch of detergent: how much concentrate, for the cleaning and the packing list alike."""

from fractions import Fraction
from math import ceil

from flows.calculations.dilution import LITRE_ML
from flows.calculations.measuring import ML, Measure, Measured, as_measured
from flows.protocols.model import Detergent

OWN_MEASURE = "detergent_measure"
"""What a site chooses for the measure it takes the concentrate with: 'cap 5 ml'."""


def one_batch(detergent: Detergent, own: Measure | None) -> Measured:
    """Return the concentrate for one batch, in the site's *own* measure where that is fine enough.

    Never less than the ratio asks, in whole ml however little that is.
    Source: ratio and `soak_volume_ml` of the detergent's file; rounding as `as_measured`.
    """
    exact = Fraction(detergent.ml_per_litre) * detergent.soak_volume_ml / LITRE_ML
    taken = as_measured(exact, own, ML.unit, detergent.soak_volume_ml)
    return taken if isinstance(taken, Measured) else Measured(ceil(exact), ML)

"""Making a spent disinfectant harmless before it is poured away: how much for a volume."""

import math

from flows.calculations.dilution import LITRE_ML
from flows.calculations.strength import Impossible, Number, above_zero


def neutraliser_g(volume_ml: Number, grams_per_litre: Number) -> int | Impossible:
    """Return whole grams for *volume_ml* of spent solution: never fewer than the figure asks.

    Source: the product's own figure, with its source in its protocol file.
    """
    volume, each = above_zero(volume_ml), above_zero(grams_per_litre)
    if isinstance(volume, Impossible):
        return volume
    return each if isinstance(each, Impossible) else math.ceil(volume * each / LITRE_ML)

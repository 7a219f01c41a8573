"""Rinse water by product: how many litres and minutes one device takes."""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from flows.protocols.model import Chemistry


@dataclass(frozen=True, slots=True)
class RinseWater:
    """All rinses of one device together."""

    litres: Decimal
    lasts: timedelta


def rinse_water(chemistry: Chemistry, devices: int = 1) -> RinseWater:
    """Return the fresh water and the time that the final rinses of *devices* take, one by one.

    Source: the product's own figures, each with its source in its protocol file.
    """
    rinses = chemistry.rinse_count * devices
    return RinseWater(rinses * chemistry.rinse_volume_l, rinses * chemistry.rinse_each_for)

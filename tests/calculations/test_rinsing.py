"""Rinse water by product, from its own figures."""

from datetime import timedelta
from decimal import Decimal

import pytest

from flows.calculations.rinsing import RinseWater, rinse_water
from flows.protocols import shipped


@pytest.mark.parametrize(
    ("devices", "litres", "minutes"), [(1, "24", 3), (12, "288", 36), (0, "0", 0)]
)
def test_three_rinses_of_eight_litres_and_a_minute(
    devices: int, litres: str, minutes: int
) -> None:
    """OPA: from memory of product instructions; about 2 US gallons and 1 min each: an ultrasound
    transducer manual, p. 80."""
    opa = shipped().chemistries["opa_055"]

    assert rinse_water(opa, devices) == RinseWater(Decimal(litres), timedelta(minutes=minutes))


def test_every_product_takes_at_least_one_rinse_of_two_gallons() -> None:
    """7.6 l for at least 1 min. Source: an ultrasound transducer manual, p. 80."""
    for chemistry in shipped().chemistries.values():
        water = rinse_water(chemistry)
        assert water.litres >= Decimal("7.6"), chemistry.name
        assert water.lasts >= timedelta(minutes=1), chemistry.name

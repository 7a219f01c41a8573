"""Volumes and strengths as people type them; what is doubtful is asked back."""

from decimal import Decimal

import pytest

from flows.replies import NotUnderstood
from flows.replies.amounts import Amounts, Strength, amounts
from flows.replies.typed import tidy
from tests.replies.hints import hint


def strengths(*written: str) -> tuple[Strength, ...]:
    return tuple(Strength(Decimal(each.split()[0]), each.split()[1]) for each in written)


READ = [
    ("2 L", 2000, ()),
    ("2l", 2000, ()),
    ("2 litres", 2000, ()),
    ("2 liters pls", 2000, ()),
    ("2 L of detergent", 2000, ()),
    ("detergent 2 L", 2000, ()),
    ("2,5 l", 2500, ()),
    ("2.5L.", 2500, ()),
    ("two litres", 2000, ()),
    ("one and a half litres", 1500, ()),
    ("half a litre", 500, ()),
    ("2-litre", 2000, ()),
    ("1O L", 10_000, ()),
    ("O.5 l", 500, ()),
    ("5OOml", 500, ()),
    ("50 cl", 500, ()),
    ("2 dl", 200, ()),
    ("500 ml", 500, ()),
    ("500ML", 500, ()),
    ("500 cc", 500, ()),
    ("1000ml", 1000, ()),
    ("1/2 L", 500, ()),
    ("1/2l", 500, ()),
    ("\u00bd L", 500, ()),
    ("1 1/2 L", 1500, ()),
    ("1\u00bd l", 1500, ()),
    ("2 L 2000 ml", 2000, ()),
    ("50 ml", 50, ()),
    ("50 L", 50_000, ()),
    ("0.1 5 L", 5000, ("0.1 %",)),
    ("5 L 0.1", 5000, ("0.1 %",)),
    ("0.1% 5L", 5000, ("0.1 %",)),
    ("0,1 % 5 l", 5000, ("0.1 %",)),
    ("0.1 percent 5 l", 5000, ("0.1 %",)),
    ("0.1 per cent 5 l", 5000, ("0.1 %",)),
    (".5 5 L", 5000, ("0.5 %",)),
    ("0.1 chlorine 5 L", 5000, ("0.1 %",)),
    ("0.1 2 1/2 L", 2500, ("0.1 %",)),
    ("00.5% 5 L", 5000, ("0.5 %",)),
    ("0.05% 5 L", 5000, ("0.05 %",)),
    ("1000 ppm 5 L", 5000, ("1000 ppm",)),
    ("5% - 2 L", 2000, ("5 %",)),
    ("5% + 2 L", 2000, ("5 %",)),
    ("-> 5% 2 L", 2000, ("5 %",)),
    ("about 2 L", 2000, ()),
    ("0.1 5 L 3.5%", 5000, ("0.1 %", "3.5 %")),
    ("0,1 5L 3,5 %", 5000, ("0.1 %", "3.5 %")),
    ("5 litres of 0.1% from 3.5% bleach", 5000, ("0.1 %", "3.5 %")),
    ("1/2 % 10 L", 10_000, ("0.5 %",)),
    ("half a percent 10 L", 10_000, ("0.5 %",)),
    ("0.5 10 L 12 degrees", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12 deg chl", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12\u00b0", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12\u00b0chl", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12 degrees chlorometric", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12\u00b0 chlorometric", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12 degr\u00e9s chlorom\u00e9triques", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L 12degrees chlorum", 10_000, ("0.5 %", "12 degrees")),
    ("0.5 10 L of 8 deg chlorum bleach", 10_000, ("0.5 %", "8 degrees")),
]


@pytest.mark.parametrize(("raw", "volume_ml", "of"), READ)
def test_amounts_as_typed(raw: str, volume_ml: int, of: tuple[str, ...]) -> None:
    assert amounts(tidy(raw)) == Amounts(Decimal(volume_ml), strengths(*of))


DOUBTFUL = [
    ("", "empty", None),
    ("some litres", "empty", None),
    ("12O 2 L", "unit", "12"),
    ("2", "unit", "2"),
    ("2 please", "unit", "2"),
    ("0.1", "unit", "0.1"),
    ("0.1 5", "unit", "5"),
    ("01 5 L", "unit", "1"),
    ("1 5 L", "unit", "1"),
    ("1 2 L", "unit", "1"),
    ("0.1 5 L 3.5", "unit", "3.5"),
    ("2 gallons", "unit", "2"),
    ("2 gal 1 L", "unit", "2"),
    ("5 g 2 L", "unit", "5"),
    ("0.1 chlor 5 L", "unit", "0.1"),
    ("one litre and a half", "unit", "0.5"),
    ("2 L 1/2", "unit", "0.5"),
    ("2 litres and a half", "unit", "0.5"),
    ("0.1% 1 litre and a half", "unit", "0.5"),
    ("2 L \u00bc", "unit", "0.25"),
    ("1,000 ml", "ambiguous", None),
    ("2 L 3 L", "ambiguous", None),
    ("0.1% 0.5% 3.5% 2 L", "ambiguous", None),
    ("05% 2 L", "ambiguous", None),
    ("O5% 2 L", "ambiguous", None),
    ("01 % 5 L", "ambiguous", None),
    ("0.1% 2 L 05%", "ambiguous", None),
    ("0.1% 2 L 036 degrees", "ambiguous", None),
    ("01000 ppm 2 L", "ambiguous", None),
    ("<5% 2 L", "band", None),
    ("2 L < 5 %", "band", None),
    ("\u22645% 2 L", "band", None),
    ("~5% 2 L", "band", None),
    ("5%+ 2 L", "band", None),
    ("5% <2 L", "band", None),
    ("5-15% 2 L", "band", None),
    ("5 - 15 % 2 L", "band", None),
    ("5 to 15% 2 L", "band", None),
    ("less than 5% 2 L", "band", None),
    ("up to 5% 2 L", "band", None),
    ("5% about 2 L", "band", None),
    ("0.1% 2 L <5 percent", "band", None),
    ("1/3 L", "number", None),
    ("2-3 L", "number", None),
    ("2x2 L", "number", None),
    ("0 L", "impossible", "0"),
    ("-2 L", "impossible", "-2000"),
    ("49 ml", "impossible", "49"),
    ("51 L", "impossible", "51000"),
]


@pytest.mark.parametrize(("raw", "why", "value"), DOUBTFUL)
def test_doubtful_amounts_are_asked_back(raw: str, why: str, value: str | None) -> None:
    read = amounts(tidy(raw))

    assert isinstance(read, NotUnderstood)
    assert (hint(read), read.value) == (why, Decimal(value) if value else None)

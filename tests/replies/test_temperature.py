"""S17: a reading is a number with a unit and limits."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.temperature import Reading, temperature
from flows.replies.typed import tidy
from tests.replies.as_typed import CELSIUS, FAHRENHEIT, NOT_TEMPERATURES, TEMPERATURES


@pytest.mark.parametrize(("raw", "expected"), TEMPERATURES)
def test_S17_a_temperature_as_typed(raw: str, expected: tuple[str, str] | str) -> None:
    read = temperature(tidy(raw))

    if isinstance(read, Reading):
        assert expected == (str(read.celsius), read.as_typed_unit)
    else:
        assert expected == read.hint


@pytest.mark.parametrize(("raw", "if_f"), [("68", "20.0"), ("67.9", "19.9"), ("40", "4.4")])
def test_S17_a_number_that_may_be_f_comes_back_with_what_it_would_be(raw: str, if_f: str) -> None:
    assert NotUnderstood("unit", value=Decimal(if_f)) == temperature(tidy(raw))


def test_S17_a_missed_point_is_never_guessed() -> None:
    assert NotUnderstood("impossible") == temperature(tidy("215"))


def test_S17_the_limits_are_the_caller_s_and_plausible_themselves() -> None:
    indoors = (Decimal(10), Decimal(40))

    assert temperature(tidy("40"), indoors) == Reading(Decimal(40), "")
    assert temperature(tidy("10"), indoors) == Reading(Decimal(10), "")
    assert temperature(tidy("9.9"), indoors) == NotUnderstood("impossible")
    assert temperature(tidy("40.1 C"), indoors) == NotUnderstood("impossible")


@pytest.mark.parametrize("unit", NOT_TEMPERATURES)
def test_S17_a_number_with_another_unit_is_no_temperature(unit: str) -> None:
    assert temperature(tidy(f"21 {unit}")) == NotUnderstood("unit")
    assert temperature(tidy(f"21{unit}")) == NotUnderstood("unit")


@pytest.mark.parametrize("way", ["40 {}", "40{}", "at 40 {}."])
def test_S17_every_way_to_write_a_unit(way: str) -> None:
    celsius = {temperature(tidy(way.format(unit))) for unit in CELSIUS}
    fahrenheit = {temperature(tidy(way.format(unit))) for unit in FAHRENHEIT}

    assert celsius == {Reading(Decimal(40), "C")}
    assert fahrenheit == {Reading(Decimal("4.4"), "F")}


FIXED_POINTS = (
    ("32", "0"),
    ("50", "10"),
    ("68", "20"),
    ("77", "25"),
    ("98.6", "37"),
    ("104", "40"),
)
"""F and C that meet exactly: ice, cold, room, warm, body, fever. Source: from memory."""


@pytest.mark.parametrize(("fahrenheit", "celsius"), FIXED_POINTS)
def test_S17_f_and_c_meet_where_thermometers_with_both_scales_say(
    fahrenheit: str, celsius: str
) -> None:
    assert Reading(Decimal(celsius), "F") == temperature(tidy(f"{fahrenheit} F"))


@given(st.decimals(Decimal(32), Decimal(113), places=2))
def test_S17_f_is_never_rounded_up_and_loses_less_than_a_tenth(fahrenheit: Decimal) -> None:
    read = temperature(tidy(f"{fahrenheit} F"))

    assert isinstance(read, Reading)
    lost = (Fraction(fahrenheit) - 32) / Fraction(9, 5) - Fraction(read.celsius)
    assert 0 <= lost < Fraction(1, 10)


@given(
    st.decimals(Decimal(0), Decimal(45), places=2), st.sampled_from(["{} C", "{}c", "{} deg c"])
)
def test_S17_c_keeps_the_digits_typed(celsius: Decimal, way: str) -> None:
    read = temperature(tidy(way.format(str(celsius).replace(".", ","))))

    assert isinstance(read, Reading)
    assert str(celsius) == str(read.celsius)

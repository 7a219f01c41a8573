"""Amounts both ways, rounded for a hand: never weaker, never more than needed, never nonsense."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from flows.calculations.chlorine import (
    STRONGEST_BLEACH,
    PowderMix,
    bleach_percent,
    from_bleach,
    from_powder,
    grams_per_litre,
    made_of_bleach,
    made_of_powder,
    strength_of_bleach,
    strength_of_powder,
    water_parts,
)
from flows.calculations.dilution import (
    AddedToALitre,
    LiquidMix,
    MadeUpToALitre,
    added_to,
    as_added,
    as_made_up,
    made_of,
    made_up_to,
)
from flows.calculations.measuring import (
    AT_MOST,
    ML,
    Measure,
    measure_as_written,
    measured,
    measured_into_water,
    measured_made_up,
    measured_powder,
    whole_ml,
)
from flows.calculations.neutralising import neutraliser_g
from flows.calculations.strength import (
    REASONS,
    Impossible,
    above_zero,
    percent,
    percent_from_degrees,
    percent_from_ppm,
)
from tests.kit.made import made

VOLUMES = st.fractions(1, 50_000, max_denominator=100)
PERCENTS = st.fractions(Fraction(1, 100), 100, max_denominator=1000)
RATIOS = st.fractions(Fraction(1, 10), 900, max_denominator=100)
MEASURES = st.builds(
    Measure, st.just("cap"), st.fractions(Fraction(1, 4), 50, max_denominator=4), st.just("ml")
)


def pair(one: Fraction, other: Fraction) -> tuple[Fraction, Fraction]:
    """The stronger first."""
    return max(one, other), min(one, other)


# -- both ways ----------------------------------------------------------------------------------


@given(VOLUMES, RATIOS)
def test_concentrate_and_solution_are_each_others_inverse(
    water: Fraction, ratio: Fraction
) -> None:
    mix = made(added_to(water, AddedToALitre(ratio)))

    assert made(made_of(mix.source_ml, AddedToALitre(ratio))) == mix
    assert mix.added == AddedToALitre(ratio)


@given(VOLUMES, RATIOS)
def test_added_and_made_up_are_two_ways_to_say_one_strength(
    volume: Fraction, ratio: Fraction
) -> None:
    added = made(added_to(volume, AddedToALitre(ratio)))
    made_up = made(made_up_to(volume, as_made_up(AddedToALitre(ratio))))

    assert added.share == made_up.share
    assert as_added(as_made_up(AddedToALitre(ratio))) == AddedToALitre(ratio)
    assert added.total_ml > volume == made_up.total_ml


@given(VOLUMES, RATIOS)
def test_the_same_figure_is_stronger_made_up_than_added(volume: Fraction, ratio: Fraction) -> None:
    added = made(added_to(volume, AddedToALitre(ratio)))
    made_up = made(made_up_to(volume, MadeUpToALitre(ratio)))

    assert added.share < made_up.share


@given(VOLUMES, PERCENTS, PERCENTS)
def test_bleach_and_solution_are_each_others_inverse(
    total: Fraction, one: Fraction, other: Fraction
) -> None:
    strong, weak = pair(one, other)

    mix = made(from_bleach(total, strong, weak))

    assert mix.total_ml == total
    assert made_of_bleach(mix.source_ml, strong, weak) == mix
    assert strength_of_bleach(mix.source_ml, mix.water_ml, strong) == weak
    assert made(water_parts(strong, weak)) * mix.source_ml == mix.water_ml


@given(VOLUMES, PERCENTS, PERCENTS)
def test_powder_and_solution_are_each_others_inverse(
    total: Fraction, one: Fraction, other: Fraction
) -> None:
    strong, weak = pair(one, other)

    mix = made(from_powder(total, strong, weak))

    assert made_of_powder(mix.grams, strong, weak) == mix
    assert strength_of_powder(mix.grams, total, strong) == mix.strength(strong) == weak


@given(VOLUMES, PERCENTS, PERCENTS)
def test_what_an_amount_makes_is_never_rounded_weaker_nor_much_stronger(
    bleach: Fraction, one: Fraction, other: Fraction
) -> None:
    strong, weak = pair(one, other)
    exact = made(made_of_bleach(bleach, strong, weak)).total_ml
    assume(exact >= 100)

    total = whole_ml(exact)

    assert weak <= bleach * strong / Fraction(total) <= weak * Fraction(102, 100)
    assert total % (1 if exact < 1000 else 10) == 0


# -- rounding -----------------------------------------------------------------------------------


@given(VOLUMES, PERCENTS, PERCENTS, MEASURES)
def test_bleach_is_never_rounded_weaker_nor_more_than_needed(
    total: Fraction, one: Fraction, other: Fraction, cap: Measure
) -> None:
    strong, weak = pair(one, other)
    exact = made(from_bleach(total, strong, weak))

    mix = measured_made_up(exact, cap)

    assume(isinstance(mix, LiquidMix))
    mix = made(mix)
    true = made(strength_of_bleach(mix.source_ml, mix.water_ml, strong))
    assert weak <= true <= strong
    assert exact.source_ml <= mix.source_ml < exact.source_ml + cap.size
    assert mix.water_ml.denominator == 1
    assert exact.total_ml - 1 < mix.total_ml <= exact.total_ml


@given(VOLUMES, RATIOS, MEASURES)
def test_detergent_is_never_rounded_weaker_nor_more_than_needed(
    water: Fraction, ratio: Fraction, cap: Measure
) -> None:
    exact = made(added_to(water, AddedToALitre(ratio)))

    mix = measured_into_water(exact, cap)

    assume(isinstance(mix, LiquidMix))
    mix = made(mix)
    assert mix.water_ml == water
    assert exact.source_ml <= mix.source_ml < exact.source_ml + cap.size
    assert made(mix.added).ml >= ratio


@given(VOLUMES, PERCENTS, PERCENTS, st.fractions(Fraction(1, 4), 50, max_denominator=4))
def test_powder_is_never_rounded_weaker_nor_more_than_needed(
    total: Fraction, one: Fraction, other: Fraction, size: Fraction
) -> None:
    strong, weak = pair(one, other)
    exact = made(from_powder(total, strong, weak))

    mix = measured_powder(exact, Measure("spoon", size, "g"))

    assume(isinstance(mix, PowderMix))
    mix = made(mix)
    assert exact.grams <= mix.grams < exact.grams + size
    assert mix.strength(strong) >= weak


@given(VOLUMES, MEASURES)
def test_a_measure_is_too_coarse_beyond_half_as_much_again(exact: Fraction, cap: Measure) -> None:
    taken = measured(exact, cap)

    fewest = -(-exact // cap.size) * cap.size
    assert isinstance(taken, Impossible) == (fewest > AT_MOST * exact)


def test_a_cap_larger_than_the_whole_is_too_coarse() -> None:
    nearly_all = made(from_bleach(10, 4, Fraction("3.5")))

    assert measured_made_up(nearly_all, Measure("cap", Fraction(12), "ml")) == Impossible(
        "too coarse"
    )


@pytest.mark.parametrize(
    "too_little",
    [
        lambda: measured_made_up(LiquidMix(Fraction(1, 2), Fraction(400))),
        lambda: measured_into_water(LiquidMix(Fraction(1, 2), Fraction(400))),
        lambda: measured_powder(PowderMix(Fraction(1, 2), Fraction(400))),
    ],
    ids=["made up", "added", "powder"],
)
def test_what_a_hand_cannot_measure_is_refused(too_little: Callable[[], object]) -> None:
    assert too_little() == Impossible("too coarse")


@given(VOLUMES, st.fractions(Fraction(1, 10), 50, max_denominator=100))
def test_a_neutraliser_is_never_fewer_grams_than_the_figure(
    volume: Fraction, each: Fraction
) -> None:
    grams = made(neutraliser_g(volume, each))

    assert volume * each / 1000 <= grams < volume * each / 1000 + 1


@pytest.mark.parametrize(
    ("litres", "grams_per_litre", "grams"),
    [("4", "6.6", 27), ("3.785", "26", 99)],
)
def test_a_neutraliser_for_a_volume(litres: str, grams_per_litre: str, grams: int) -> None:
    assert neutraliser_g(Fraction(litres) * 1000, Fraction(grams_per_litre)) == grams


# -- a site's own measure -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("cap 5 ml", Measure("cap", Fraction(5), "ml")),
        ("spoon 2.5 g", Measure("spoon", Fraction(5, 2), "g")),
        ("scoop 0 ml", None),
        ("spoon", None),
        ("5 ml", None),
        ("Spoon 5 ml", None),
        ("tablespoon 15 ml", None),
        ("cap 5 oz", None),
    ],
)
def test_a_measure_is_what_a_site_writes(written: str, expected: Measure | None) -> None:
    assert measure_as_written(written) == expected


def test_three_caps_where_two_are_too_few() -> None:
    cap = Measure("cap", Fraction(5), "ml")

    taken = made(measured(Fraction("10.1"), cap))

    assert (taken.count, int(taken.amount)) == (3, 15)


# -- what cannot be -----------------------------------------------------------------------------


@given(VOLUMES, PERCENTS, PERCENTS)
def test_nothing_is_made_stronger_than_its_source(
    total: Fraction, one: Fraction, other: Fraction
) -> None:
    strong, weak = pair(one, other)
    assume(weak < strong)
    refused = Impossible("stronger than its source")

    for sum_ in (from_bleach, from_powder, made_of_bleach, made_of_powder):
        assert sum_(total, weak, strong) == refused
    assert water_parts(weak, strong) == grams_per_litre(weak, strong) == refused


@pytest.mark.parametrize(
    ("value", "because"),
    [
        (0, "not above zero"),
        (-1, "not above zero"),
        (Fraction(-1, 3), "not above zero"),
        (Decimal("NaN"), "nonsense"),
        (Decimal("Infinity"), "nonsense"),
    ],
)
def test_nonsense_in_any_place_is_a_reason_and_no_exception(
    value: Fraction | Decimal | int, because: str
) -> None:
    refused = Impossible(because)
    five, tenth = Fraction(5), Fraction(1, 10)

    assert above_zero(value) == percent(value) == refused
    assert percent_from_degrees(value) == percent_from_ppm(value) == refused
    for sum_ in (from_bleach, from_powder, made_of_bleach, made_of_powder):
        assert sum_(value, five, tenth) == refused
        assert sum_(five, value, tenth) == refused
        assert sum_(five, five, value) == refused
    assert strength_of_bleach(value, five, five) == refused
    assert strength_of_bleach(five, five, value) == refused
    assert strength_of_powder(value, five, five) == refused
    assert strength_of_powder(five, value, five) == refused
    assert strength_of_powder(five, five, value) == refused
    assert added_to(value, AddedToALitre(five)) == made_of(value, AddedToALitre(five)) == refused
    assert made_up_to(value, MadeUpToALitre(five)) == measured(value, ML) == refused
    assert neutraliser_g(value, five) == neutraliser_g(five, value) == refused


@pytest.mark.parametrize("ratio", [Fraction(0), Fraction(-5)])
def test_no_ratio_is_nothing_or_less(ratio: Fraction) -> None:
    refused = Impossible("not above zero")

    assert added_to(1000, AddedToALitre(ratio)) == refused
    assert made_of(1000, AddedToALitre(ratio)) == refused
    assert made_up_to(1000, MadeUpToALitre(ratio)) == refused


def test_no_water_leaves_bleach_as_it_was_and_less_than_none_is_refused() -> None:
    assert strength_of_bleach(100, 0, Fraction("3.5")) == Fraction("3.5")
    assert strength_of_bleach(100, -1, Fraction("3.5")) == Impossible("not above zero")
    assert LiquidMix(Fraction(100), Fraction(0)).added == Impossible("not above zero")


def test_more_than_a_litre_in_a_litre_cannot_be() -> None:
    refused = Impossible("stronger than its source")

    assert made_up_to(1000, MadeUpToALitre(Fraction(1001))) == refused
    assert as_added(MadeUpToALitre(Fraction(1000))) == refused
    assert made(made_up_to(1000, MadeUpToALitre(Fraction(1000)))).water_ml == 0


@pytest.mark.parametrize(
    "too_much",
    [
        lambda: percent(Fraction(1001, 10)),
        lambda: percent_from_degrees(334),
        lambda: percent_from_ppm(1_000_001),
        lambda: from_bleach(1000, 101, 1),
        lambda: strength_of_powder(1000, 100, 70),
    ],
    ids=["percent", "degrees", "ppm", "bottle", "powder"],
)
def test_nothing_is_more_than_all(too_much: Callable[[], object]) -> None:
    assert too_much() == Impossible("above all")


def test_no_bleach_is_as_strong_as_powder() -> None:
    """At most some 15 %: common practice, no source. Powder from 35 % on: CDC, Best Practices for
    Environmental Cleaning, Appendix E.
    """
    assert bleach_percent(STRONGEST_BLEACH) == bleach_percent(15) == 15
    assert bleach_percent(Fraction(1501, 100)) == bleach_percent(35) == Impossible("no liquid")
    assert bleach_percent(0) == Impossible("not above zero")


def test_every_reason_is_on_the_list() -> None:
    given_reasons = {
        percent(Decimal("NaN")),
        percent(0),
        percent(101),
        water_parts(1, 2),
        bleach_percent(35),
        measured(Fraction(1, 10), ML),
    }

    assert {each.because for each in given_reasons if isinstance(each, Impossible)} == REASONS

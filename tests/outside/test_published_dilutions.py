"""Every published worked example of a chlorine solution, and those that fall short of their sum.

The recipes are written out here from the sources. Figures of a course on infection prevention are
those of an international health charity's pages, module 7.
"""

from fractions import Fraction

import pytest

from flows.calculations.chlorine import (
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
    MadeUpToALitre,
    added_to,
    as_made_up,
    made_of,
    made_up_to,
)
from flows.calculations.measuring import GRAM, ML, Measure, measured, measured_powder, whole_ml
from flows.calculations.strength import percent_from_degrees, percent_from_ppm
from tests.kit.made import made

CDC_E = (
    "CDC, Best Practices for Environmental Cleaning in Global Healthcare Facilities with Limited "
    "Resources, Appendix E"
)
WHO_FIL = "WHO, interim infection prevention guidance, filovirus, p. 24"
WHO_LBM = "WHO Laboratory Biosafety Manual, Table 12"
PMC = "PMC4925840, Table 2"
COURSE = "a course on infection prevention, module 7"
POSTER = "CDC, Ebola poster, 2014, stacks.cdc.gov/view/cdc/25805"

PARTS = [
    # percent in the bottle, percent wanted, parts of water, source
    ("3.5", "0.5", 6, f"{CDC_E}; {WHO_FIL}; {COURSE}"),
    ("5", "0.1", 49, f"{CDC_E}; {WHO_FIL}"),
]


@pytest.mark.parametrize(("bottle", "wanted", "parts", "source"), PARTS)
def test_published_parts_of_water(bottle: str, wanted: str, parts: int, source: str) -> None:
    assert water_parts(Fraction(bottle), Fraction(wanted)) == parts, source


@pytest.mark.parametrize(
    ("bottle", "wanted", "parts"),
    [
        ("2.4", "0.5", "3.8"),
        ("5", "0.5", "9"),
        ("8", "0.5", "15"),
        ("10", "0.5", "19"),
        ("15", "0.5", "29"),
        ("3.5", "0.1", "34"),
    ],
)
def test_parts_of_water_worked_by_hand(bottle: str, wanted: str, parts: str) -> None:
    """Worked by hand from the published formula; no publication gives these rows."""
    assert water_parts(Fraction(bottle), Fraction(wanted)) == Fraction(parts)


GRAMS = [
    # percent in the powder, percent wanted, published g/l, source
    ("35", "0.5", "14.3", f"{CDC_E}; {COURSE}"),
    ("60", "0.5", "8.5", f"{WHO_LBM}; {PMC}"),
    ("60", "0.1", "1.7", WHO_LBM),
    ("25", "0.5", "20", f"{WHO_LBM}; {PMC}"),
]


@pytest.mark.parametrize(("powder", "wanted", "grams", "source"), GRAMS)
def test_published_grams_are_those_of_the_formula_rounded_up(
    powder: str, wanted: str, grams: str, source: str
) -> None:
    exact = made(grams_per_litre(Fraction(powder), Fraction(wanted)))

    assert exact <= Fraction(grams) <= exact + Fraction(1, 5), source
    strength = made(strength_of_powder(Fraction(grams), 1000, Fraction(powder)))
    assert strength >= Fraction(wanted)


@pytest.mark.parametrize(
    ("powder", "wanted", "grams"),
    [("65", "0.5", "7.69"), ("35", "0.1", "2.86"), ("70", "0.5", "7.14"), ("70", "0.1", "1.43")],
)
def test_grams_worked_by_hand(powder: str, wanted: str, grams: str) -> None:
    """Worked by hand from the published formula, to a hundredth."""
    exact = made(grams_per_litre(Fraction(powder), Fraction(wanted)))

    assert abs(exact - Fraction(grams)) < Fraction(1, 200)


ML_A_LITRE = [
    # percent in the bottle, ml, percent wanted, source
    ("5", 100, "0.5", f"{WHO_LBM}; {PMC}"),
    ("5", 20, "0.1", WHO_LBM),
]


@pytest.mark.parametrize(("bottle", "ml", "wanted", "source"), ML_A_LITRE)
def test_published_millilitres_hold_only_made_up_to_a_litre(
    bottle: str, ml: int, wanted: str, source: str
) -> None:
    made_up = made(made_up_to(1000, MadeUpToALitre(Fraction(ml))))
    added = made(added_to(1000, AddedToALitre(Fraction(ml))))

    assert made_up == from_bleach(1000, Fraction(bottle), Fraction(wanted)), source
    assert added is not None
    assert (
        strength_of_bleach(ml, 1000, Fraction(bottle))
        == Fraction(bottle) * as_made_up(AddedToALitre(Fraction(ml))).ml / 1000
    )
    assert added.total_ml == 1000 + ml


@pytest.mark.parametrize(
    ("tablets", "wanted", "makes", "source"),
    [(4, "0.5", "0.6", f"{WHO_LBM}; {PMC}"), (1, "0.1", "0.15", WHO_LBM)],
)
def test_published_tablets_are_the_fewest_whole_ones(
    tablets: int, wanted: str, makes: str, source: str
) -> None:
    """NaDCC tablets of 1.5 g chlorine: a powder that is all chlorine, measured in tablets."""
    exact = made(from_powder(1000, 100, Fraction(wanted)))
    assert exact is not None

    mixed = made(measured_powder(exact, Measure("tablet", Fraction("1.5"), "g")))

    assert mixed.grams == tablets * Fraction("1.5"), source
    assert mixed.strength(Fraction(100)) == Fraction(makes)


STRONGER = [
    # ml of source, ml of water, percent of it, percent published, percent it makes, source
    ("1", "4", "2.6", "0.5", "0.52", POSTER),
    ("10", "990", "5.25", "0.05", "0.0525", "AIUM guideline, 4 June 2003: about 500 ppm"),
    ("1", "499", "5.25", "0.01", "0.0105", "CDC/HICPAC 2008, Table 1: more than 100 ppm"),
    ("1", "499", "6.15", "0.01", "0.0123", "CDC/HICPAC 2008, Table 1: more than 100 ppm"),
    ("1", "49", "5.25", "0.1", "0.105", "Pediatrics, table 116239: 1:50 is 1,000 ppm"),
]


@pytest.mark.parametrize(("ml", "water", "bottle", "said", "makes", "source"), STRONGER)
def test_published_recipes_that_are_a_little_stronger_than_they_say(  # noqa: PLR0913, PLR0917  a table
    ml: str, water: str, bottle: str, said: str, makes: str, source: str
) -> None:
    strength = made(strength_of_bleach(Fraction(ml), Fraction(water), Fraction(bottle)))

    assert strength == Fraction(makes), source
    assert strength > Fraction(said)


def test_ten_millilitres_of_bleach_added_to_a_litre_are_about_five_hundred_parts_too() -> None:
    """5.25 %, 10 ml per litre. Source: AIUM guideline, 4 June 2003, as reprinted: about 500."""
    strength = made(strength_of_bleach(10, 1000, Fraction("5.25")))

    assert int(strength * 10_000) == 519


# -- recipes that fall short of their own formula: named here, and not copied -------------------

TOO_WEAK = [
    # percent in the powder, percent said, g/l said, g/l by its own formula, percent it makes
    ("35", "0.5", "14.2", "14.286", "0.4970", "a handout, scribd 261116187"),
    ("70", "0.5", "7.0", "7.143", "0.4900", f"{WHO_LBM}; {PMC}"),
    ("70", "0.1", "1.4", "1.429", "0.0980", WHO_LBM),
]


@pytest.mark.parametrize(("powder", "said", "grams", "own", "makes", "source"), TOO_WEAK)
def test_published_powder_recipes_that_fall_short_are_not_copied(  # noqa: PLR0913, PLR0917  a table
    powder: str, said: str, grams: str, own: str, makes: str, source: str
) -> None:
    strength = made(strength_of_powder(Fraction(grams), 1000, Fraction(powder)))
    exact = made(from_powder(1000, Fraction(powder), Fraction(said)))

    assert strength == Fraction(makes), source
    assert strength < Fraction(said)
    assert abs(exact.grams - Fraction(own)) < Fraction(1, 2000)
    ours = made(measured(exact.grams, Measure("tenth", Fraction(1, 10), "g")))
    assert ours.amount > Fraction(grams)


ADDED = [
    # percent in the bottle, ml said, percent said, percent when added to a litre, source
    ("5", 100, "0.5", Fraction(5, 11), f"{WHO_LBM}; {PMC}"),
    ("5", 20, "0.1", Fraction(5, 51), WHO_LBM),
]


@pytest.mark.parametrize(("bottle", "ml", "said", "makes", "source"), ADDED)
def test_published_millilitres_added_to_a_litre_fall_short(
    bottle: str, ml: int, said: str, makes: Fraction, source: str
) -> None:
    strength = made(strength_of_bleach(ml, 1000, Fraction(bottle)))

    assert strength == makes, source
    assert strength < Fraction(said)


def test_the_posters_mild_solution_contradicts_itself() -> None:
    """1 part of stock and 100 of water, or 1 of strong and 9 of water: not the same, and neither
    is the other's half. Source: CDC, Ebola poster, 2014, stacks.cdc.gov/view/cdc/25805."""
    from_stock = made(strength_of_bleach(1, 100, Fraction("2.6")))
    strong = made(strength_of_bleach(1, 4, Fraction("2.6")))
    from_strong = made(strength_of_bleach(1, 9, strong))

    assert from_stock == Fraction("2.6") / 101
    assert from_strong == Fraction("0.052")
    assert from_stock < Fraction("0.03") < Fraction("0.05") < from_strong


# -- what an amount makes: the same examples in the other direction -------------------------------


@pytest.mark.parametrize(("bottle", "wanted", "parts", "source"), PARTS)
def test_one_part_of_bleach_makes_itself_and_its_published_parts_of_water(
    bottle: str, wanted: str, parts: int, source: str
) -> None:
    mix = made(made_of_bleach(100, Fraction(bottle), Fraction(wanted)))

    assert (mix.water_ml, mix.total_ml) == (100 * parts, 100 * (parts + 1)), source
    assert whole_ml(mix.total_ml) == mix.total_ml


@pytest.mark.parametrize(("powder", "wanted", "grams", "source"), GRAMS)
def test_published_grams_make_a_litre_at_least(
    powder: str, wanted: str, grams: str, source: str
) -> None:
    mix = made(made_of_powder(Fraction(grams), Fraction(powder), Fraction(wanted)))

    assert 1000 <= whole_ml(mix.total_ml) <= mix.total_ml <= 1021, source


@pytest.mark.parametrize(("bottle", "ml", "wanted", "source"), ML_A_LITRE)
def test_published_millilitres_make_a_litre_in_all(
    bottle: str, ml: int, wanted: str, source: str
) -> None:
    assert made(made_of_bleach(ml, Fraction(bottle), Fraction(wanted))).total_ml == 1000, source


@pytest.mark.parametrize(("grams", "wanted"), [("7.0", "0.5"), ("1.4", "0.1")])
def test_published_grams_that_fall_short_do_not_make_their_litre(grams: str, wanted: str) -> None:
    """Powder of 70 %: 980 ml. Source: WHO Laboratory Biosafety Manual, Table 12."""
    mix = made(made_of_powder(Fraction(grams), 70, Fraction(wanted)))

    assert whole_ml(mix.total_ml) == 980


def test_published_parts_that_are_a_little_strong_make_a_little_more() -> None:
    """2.6 %, 1 part and 4 of water: 5.2 parts by the formula. Source: CDC, Ebola poster, 2014."""
    mix = made(made_of_bleach(100, Fraction("2.6"), Fraction("0.5")))

    assert 500 < mix.total_ml == 520


def test_tablets_make_more_than_their_published_litre() -> None:
    """4 and 1 of 1.5 g chlorine to a litre. Source: WHO Laboratory Biosafety Manual, Table 12."""
    assert made(made_of_powder(6, 100, Fraction("0.5"))).total_ml == 1200
    assert made(made_of_powder(Fraction("1.5"), 100, Fraction("0.1"))).total_ml == 1500


def test_ten_millilitres_make_a_litre_of_five_hundred_parts() -> None:
    """5.25 %, 10 ml to a litre: AIUM guideline, 4 June 2003, as reprinted in a device manual."""
    mix = made(made_of_bleach(10, Fraction("5.25"), made(percent_from_ppm(500))))

    assert mix.total_ml == 1050


def test_a_fluid_ounce_of_detergent_is_for_a_gallon() -> None:
    """Source: as `test_detergent_is_added_to_the_water`; 7.8 ml a litre is its rounded ratio."""
    ounce = Fraction("29.5735")

    assert made(made_of(ounce, AddedToALitre(Fraction(1000, 128)))).water_ml == ounce * 128
    assert abs(made(made_of(ounce, AddedToALitre(Fraction("7.8")))).water_ml - 3785) < 10


# -- units --------------------------------------------------------------------------------------


def test_a_degree_chlorometric_is_three_tenths_of_a_percent() -> None:
    """Source: CDC Appendix E; WHO filovirus guidance, p. 24; the course, module 7."""
    assert percent_from_degrees(1) == Fraction("0.3")
    assert percent_from_degrees(12) == Fraction("3.6")


@pytest.mark.parametrize(("ppm", "percent"), [(1000, "0.1"), (5000, "0.5")])
def test_parts_per_million(ppm: int, percent: str) -> None:
    """Source: PLOS ONE 2016;11(5):e0156136."""
    assert percent_from_ppm(ppm) == Fraction(percent)


def test_detergent_is_added_to_the_water() -> None:
    """1 US fl oz to a US gallon of water is 1/128 of it. Source: an instrument maker's care
    manual, p. 8; the units: NIST Handbook 44, Appendix C, from memory."""
    mix = made(added_to(Fraction("3785.412"), AddedToALitre(Fraction(1000, 128))))

    assert mix.source_ml == Fraction("3785.412") / 128
    assert mix.water_ml == Fraction("3785.412")


def test_whole_millilitres_and_grams_are_measures_like_any_other() -> None:
    assert made(measured(Fraction("14.01"), GRAM)).amount == 15
    assert made(measured(Fraction("142.86"), ML)).amount == 143

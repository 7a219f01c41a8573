"""MIX FROM: what an amount that is there makes, by text, and never weaker than was asked for."""

from dataclasses import replace
from decimal import Decimal

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.events import Mixed
from flows.protocols import shipped
from tests.kit.mixing import BLEACH, mixes, site

M1 = labelled_tag("M1")
POWDER = ("chlorine_source", "powder 70 %")


@pytest.mark.parametrize(
    "body",
    [
        *("MIX 0.1% FROM 100 ML 5%", "mix 0.1 from 100 ml bleach 5%", "MIX FROM 100ML 5% TO 0.1%"),
        *("MIX 0.1% FROM 100 ml of bleach 5% makes how much", "MIX 1000 ppm from 100 ml 5 %"),
    ],
)
def test_bleach_makes_so_much(body: str) -> None:
    """5 % to 0.1 % is 1 part and 49 of boiled water. Source: CDC, Best Practices for Environmental
    Cleaning, Appendix E; WHO, interim guidance on filovirus, p. 24."""
    recipe, asked = site(BLEACH).sends(body)

    assert recipe == (
        "100 mL bleach 5 % makes 5 L of 0.1 %: boiled, cooled water first, then it, water to 5 L "
        "in all. Plastic; no acid, no ammonia."
    )
    assert asked.startswith("Mixed 5 L of 0.1 %? Reply MIXED and the lot of the bleach")


def test_what_was_made_of_it_is_a_container_like_any_other() -> None:
    talk = site(BLEACH)

    _, label = mixes(talk, "MIX 0.1% FROM 100 ML 5%")

    assert label.startswith(f"Write on it: {M1} 5 L chlorine 0.1 %, lot K208, ")
    assert [each.volume_ml for each in talk.happened(Mixed)] == [Decimal(5000)]


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("MIX 0.5% FROM 100 ML 3.5%", "100 mL bleach 3.5 % makes 700 mL of 0.5 %: cold clean"),
        ("MIX 0.5% FROM 100 ML", "100 mL bleach 3.5 % makes 700 mL of 0.5 %: cold clean water"),
        ("MIX 0.1% FROM 1 L 12 DEGREES", "1000 mL bleach 3.6 % makes 36 L of 0.1 %: boiled"),
        (
            "MIX 0.5% FROM 500 ml 12 degres chlorometriques",
            "500 mL bleach 3.6 % makes 3.6 L of 0.5 %: ",
        ),
        ("MIX 0.5% FROM 14.3 G 35%", "14.3 g powder 35 % makes 1 L of 0.5 %: cold clean water"),
        ("MIX 0.5% FROM 10 grams 70% powder", "10 g powder 70 % makes 1.4 L of 0.5 %: "),
        ("MIX 0.5% FROM half a litre 3.5%", "500 mL bleach 3.5 % makes 3.5 L of 0.5 %"),
    ],
)
def test_however_it_is_typed_and_whatever_it_is_of(body: str, begins: str) -> None:
    """3.5 % to 0.5 % is 1 part and 6, powder of 35 % 14.3 g to a litre, a degree 0.3 %. Sources:
    as above. 70 %: 7.14 g to a litre by the same formula."""
    said, _ = site(BLEACH).sends(body)

    assert said.startswith(begins)


def test_rounding_takes_water_away_and_says_how_strong_it_is_then() -> None:
    """100 ml of 3.5 % make 1166.67 ml of 0.3 %, by the formula; to whole 10 ml, down: 1160."""
    recipe, label = mixes(site(BLEACH), "MIX 0.3% FROM 100 ML")

    assert recipe.startswith("100 mL bleach 3.5 % makes 1.16 L of 0.301 %: ")
    assert "1.16 L chlorine 0.301 %" in label


def test_powder_on_file_is_weighed() -> None:
    recipe, _ = site(POWDER).sends("MIX 0.5% FROM 50 G")

    assert recipe == (
        "50 g powder 70 % makes 7 L of 0.5 %: cold clean water first, then it, water to 7 L. "
        "Plastic; no acid, no ammonia. Use it clear."
    )


def test_detergent_is_for_so_much_water() -> None:
    """7.8 ml to a litre: an instrument maker's care manual, p. 8. 10 ml: 1282 ml; down to 1280."""
    recipe, label = mixes(site(), "MIX FROM 10 ML")

    assert recipe == (
        "10 mL detergent is for 1.28 L water of 22-43 C: 7.8 mL added to a litre. One batch for "
        "one probe."
    )
    assert f"{M1} 1.28 L detergent 7.8 mL/L" in label


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("MIX 0.1% 100 ml of bleach makes how much", "What does it make? "),
        ("MIX 5% 100 ML MAKE", "What does it make? "),
        ("MIX FROM 10 G", "What does it make? "),
        ("MIX FROM 100 ML BLEACH", "What does it make? "),
        ("MIX FROM 100 ML 5%", "What does it make? "),
        ("MIX 0.1% FROM 10 G", "What does it make? "),
        ("MIX 0.1% FROM 10 ML 70% POWDER", "What does it make? "),
        ("MIX 0.1% 5 L FROM 100 ML 5%", "What does it make? "),
        ("MIX 5 G FROM 100 ML 5%", "What does it make? "),
        ("MIX 0.1% FROM 100 ML 200 ML", "What does it make? "),
        ("MIX 0.1% 0.5% FROM 100 ML 5%", "What does it make? "),
        ("MIX 0.1% FROM 0.5 ML 5%", "What does it make? "),
        ("MIX 0.1% FROM 60 L 5%", "What does it make? "),
        ("MIX 5% FROM 100 ML 0.1%", "0.1 % cannot make 5 %: water only weakens."),
        ("MIX 0% FROM 100 ML 5%", "That strength cannot be."),
        ("MIX 0.1% FROM 100 ML 0%", "That strength cannot be."),
        ("MIX 0.1% FROM 100 G 101%", "That strength cannot be."),
        ("MIX 70% FROM 100 G 35%", "35 % cannot make 70 %: water only weakens."),
        ("MIX 0.1% FROM 5 L 5%", "That makes less than 50 ML or more than 50 L"),
        ("MIX 5% FROM 10 ML 5%", "That makes less than 50 ML or more than 50 L"),
        ("MIX 0.1% FROM 1 kg 70%", "That makes less than 50 ML or more than 50 L"),
        ("MIX FROM 1 L", "That makes less than 50 ML or more than 50 L"),
        ("MIX 5% FROM 100 ML 5%", "It is 5 % already: no water to it."),
        ("MIX 3.5% FROM 100 ML", "How strong is the chlorine to be?"),
        ("MIX 0.1% FROM 100 ML VINEGAR", "I have no recipe for VINEGAR."),
        ("MIX 0.1% FROM 100", "100 of what?"),
        ("MIX 5 FROM 100 ML", "5 of what?"),
        ("MIX 0.1% FROM 100 ML 05%", "What does it make? "),
        ("MIX 01% FROM 100 ML 5%", "What does it make? "),
        ("MIX 0.1% 2 L 05%", "I am not sure of the amounts."),
        ("MIX 0.1% FROM 2 gallons", "Gallons, pints and ounces are not taken"),
        ("MIX 5 G", "5 of what?"),
        ("MIX 0.1% 5 L FROM 5%", "0.1 % chlorine: boiled, cooled water first, 100 mL bleach 5 %"),
        ("MIX 2 L how much soap", "16 mL detergent into 2 L water"),
    ],
)
def test_what_makes_nothing_or_is_not_clear_is_asked_back(body: str, begins: str) -> None:
    said = site(BLEACH).sends(body)

    assert said[0].startswith(begins)


@pytest.mark.parametrize(
    ("on_file", "body", "begins"),
    [
        (BLEACH, "MIX 0.1% FROM 10 ML POWDER", "What does it make? "),
        (BLEACH, "MIX 0.1% FROM 10 G POWDER", "What does it make? "),
        (POWDER, "MIX 0.5% FROM 10 G BLEACH", "What does it make? "),
        (POWDER, "MIX 0.5% FROM 10 ML BLEACH", "What does it make? "),
        (BLEACH, "MIX 0.1% FROM 10 G 70% BLEACH", "What does it make? "),
        (BLEACH, "MIX 0.1% 5 L POWDER", "Which bleach? "),
        (POWDER, "MIX 0.1% BLEACH 5 L", "Which bleach? "),
    ],
)
def test_what_is_named_is_never_taken_for_the_other_that_is_on_file(
    on_file: tuple[str, str], body: str, begins: str
) -> None:
    """Powder has many times the chlorine of bleach."""
    assert site(on_file).sends(body)[0].startswith(begins)


@pytest.mark.parametrize(
    ("on_file", "body", "begins"),
    [
        (BLEACH, "MIX 0.1% FROM 100 ML BLEACH", "100 mL bleach 3.5 % makes 3.5 L of 0.1 %"),
        (POWDER, "MIX 0.5% FROM 50 G POWDER", "50 g powder 70 % makes 7 L of 0.5 %"),
        (POWDER, "MIX 0.5% FROM 50 G BLEACH POWDER", "50 g powder 70 % makes 7 L of 0.5 %"),
        (BLEACH, "MIX 0.1% BLEACH 2 L", "0.101 % chlorine: boiled, cooled water first, 58 mL "),
        (POWDER, "MIX 0.5% POWDER 7 L", "0.5 % chlorine: cold clean water first, 50 g powder"),
    ],
)
def test_named_as_it_is_on_file_it_needs_no_strength(
    on_file: tuple[str, str], body: str, begins: str
) -> None:
    """Bleaching powder is powder: a name of calcium hypochlorite; common practice, no source."""
    assert site(on_file).sends(body)[0].startswith(begins)


SCOOP, CUP, CAP = (
    ("chlorine_measure", "scoop 7.5 g"),
    ("chlorine_measure", "cup 50 ml"),
    ("detergent_measure", "cap 5 ml"),
)


@pytest.mark.parametrize(
    ("ways", "body", "begins"),
    [
        ((POWDER, SCOOP), "MIX 0.1% FROM 3 scoops", "22.5 g powder 70 % makes 15.75 L of 0.1 %"),
        ((POWDER, SCOOP), "MIX 0.5% FROM a scoop", "The amount is missing: "),
        ((POWDER, SCOOP), "MIX 0.5% FROM one scoop", "7.5 g powder 70 % makes 1.05 L of 0.5 %"),
        ((POWDER, SCOOP), "MIX 0.5% FROM 2 scoops of powder", "15 g powder 70 % makes 2.1 L"),
        ((BLEACH, CUP, CAP), "MIX 0.1% FROM 2 CUPS", "100 mL bleach 3.5 % makes 3.5 L of 0.1 %"),
        ((BLEACH, CUP, CAP), "MIX FROM half a cup 5% TO 0.1%", "25 mL bleach 5 % makes 1.25 L"),
        ((BLEACH, CUP, CAP), "MIX FROM 2 caps", "10 mL detergent is for 1.28 L water"),
        ((BLEACH, CUP, CAP), "MIX FROM 2 caps of detergent", "10 mL detergent is for 1.28 L"),
        ((BLEACH, CUP, CAP), "MIX 0.1% FROM 2 caps", "2 of what? "),
        ((BLEACH, CUP, CAP), "MIX FROM 2 cups", "2 of what? "),
        ((BLEACH, CUP, CAP), "MIX FROM 2 caps of bleach", "2 of what? "),
        ((BLEACH, SCOOP), "MIX 0.1% FROM 3 scoops", "What does it make? "),
        ((BLEACH, ("chlorine_measure", "ml 5 g")), "MIX 0.1% FROM 100 ML", "100 mL bleach 3.5 %"),
    ],
)
def test_the_sites_own_measure_counts_what_is_there(
    ways: tuple[tuple[str, str], ...], body: str, begins: str
) -> None:
    """7 g of 70 % to a litre of 0.5 %, 1.4 g of 0.1 %: by the formula above. 7.5 g a scoop."""
    assert site(*ways).sends(body)[0].startswith(begins)


def test_the_examples_in_the_question_are_understood() -> None:
    talk = site(BLEACH)
    (said,) = talk.sends("MIX MAKES")

    assert said == (
        "What does it make? Strength wanted, FROM, what you have, its strength: MIX 0.1% FROM 100 "
        "ML 5%; of powder 10 G 70%. Detergent: MIX FROM 10 ML."
    )
    for body in ("MIX 0.1% FROM 100 ML 5%", "MIX 0.1% FROM 10 G 70%", "MIX FROM 10 ML"):
        assert talk.sends(body)[-1].startswith("Mixed ")


def test_stronger_than_bleach_can_be_is_asked_whether_it_is_powder() -> None:
    """Bleach is at most some 15 %: common practice, no source."""
    (said,) = site(BLEACH).sends("MIX 0.1% FROM 100 ML 35%")

    assert said.startswith("35 % is too strong for liquid bleach, 15 % at most.")
    assert "Then text MIX 0.1% FROM 10 G 35%." in said


def test_where_no_chlorine_is_set_up_none_is_made() -> None:
    (said,) = site().sends("MIX 0.1% FROM 100 ML 5%")

    assert said.startswith("No chlorine is set up at this site")


def test_a_source_that_nobody_has_told_is_asked_for() -> None:
    talk = site()
    talk.protocol = replace(talk.protocol, device_model=shipped().devices["plastic_probe"])

    (said,) = talk.sends("MIX 0.1% FROM 100 ML")
    (weak,) = talk.sends("MIX 0.1% FROM 1 L 0.4%")

    assert said.startswith("What does it make? ")
    assert weak.startswith("0.4 % is weaker than any bleach as bought: mixed before")


def test_a_ratio_that_is_none_makes_nothing() -> None:
    talk = site()
    detergent = replace(talk.protocol.detergent, ml_per_litre=Decimal(0))
    talk.protocol = replace(talk.protocol, detergent=detergent)

    assert talk.sends("MIX FROM 10 ML")[0].startswith("What does it make? ")

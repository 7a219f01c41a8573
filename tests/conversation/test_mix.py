"""MIX by text: the sum, or in one kind text why not."""

from dataclasses import replace

import pytest

from flows.calculations.check_code import labelled_tag
from flows.protocols import shipped
from tests.kit.cycles import play_cycle, step_of
from tests.kit.mixing import BLEACH, mixes, site

M1 = labelled_tag("M1")


def test_detergent_by_the_makers_ratio_and_its_label() -> None:
    """7.8 ml added to a litre: an instrument maker's care manual, p. 8; 15.6 rounded up."""
    recipe, label = mixes(site(), "MIX 2 L")

    assert recipe == (
        "16 mL detergent into 2 L water of 22-43 C: 8 mL added to a litre. "
        "One batch for one probe."
    )
    assert label == (
        f"Write on it: {M1} 2 L detergent 8 mL/L, lot K208, mixed 12:00, good to the end of "
        "2 Mar 2026, one probe only. Name too."
    )


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("mix 500ml", "4 mL detergent into 500 mL water"),
        ("MIX 1/2 L", "4 mL detergent into 500 mL water"),
        ("Mix 2,5 l pls", "20 mL detergent into 2.5 L water"),
    ],
)
def test_however_the_volume_is_typed(text: str, begins: str) -> None:
    recipe, _ = site().sends(text)

    assert recipe.startswith(begins)


def test_detergent_in_the_sites_own_caps_says_how_strong_that_is() -> None:
    recipe, label = mixes(site(("detergent_measure", "cap 5 ml")), "MIX 2 L")

    assert recipe.startswith("4 x cap (20 mL) detergent into 2 L water")
    assert "10 mL added to a litre" in recipe
    assert "detergent 10 mL/L" in label


@pytest.mark.parametrize("measure", ["mug 200 ml", "spoon 5 g", "nonsense"])
def test_a_measure_that_does_not_fit_gives_millilitres(measure: str) -> None:
    recipe, _ = site(("detergent_measure", measure)).sends("MIX 2 L")

    assert recipe.startswith("16 mL detergent")


def test_what_was_set_last_holds() -> None:
    talk = site(BLEACH, ("chlorine_source", "bleach 5 %"))

    recipe, _ = talk.sends("MIX 0.1 5 L")

    assert "100 mL bleach 5 %" in recipe


# -- chlorine -----------------------------------------------------------------------------------


def test_chlorine_of_the_sites_bleach_is_made_up_to_the_volume() -> None:
    """3.5 % to 0.1 % is 1 part and 34 of water, worked by hand: 142.9 of 5000 ml."""
    recipe, label = mixes(site(BLEACH), "MIX 0.1 5 L")

    assert recipe == (
        "0.1 % chlorine: boiled, cooled water first, 143 mL bleach 3.5 %, water to 5 L in all. "
        "Plastic; no acid, no ammonia."
    )
    assert label == (
        f"Write on it: {M1} 5 L chlorine 0.1 %, lot K208, mixed 12:00, good to the end of "
        "2 Mar 2026, NOT for a probe. Name and date too."
    )


def test_chlorine_may_soak_only_a_probe_whose_maker_allows_it_and_only_at_its_strength() -> None:
    """0.1 %, one soak. Source: Reference Manual hosted by the IARC Screening Group, Table C-1."""
    talk = site()
    talk.protocol = replace(talk.protocol, device_model=shipped().devices["plastic_probe"])

    _, weak = mixes(talk, "MIX 0.1 2 L 3.5%")
    _, strong = mixes(talk, "MIX 0.5 2 L 3.5%", lot="K209")

    assert "to wipe, NOT to soak" in weak
    assert "NOT for a probe" in strong


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("MIX 0.5 7 L", "cold clean water first, 1000 mL bleach 3.5 %, water to 7 L"),
        ("MIX 0.1% 5 L 5%", "100 mL bleach 5 %"),
        ("MIX 0.5 6 L 10 DEGREES", "1000 mL bleach 3 %"),
        ("MIX 0.5 6 L 10 degrees chlorometric", "1000 mL bleach 3 %"),
        ("MIX 1000 ppm 5 L 5%", "100 mL bleach 5 %"),
        ("MIX 10 ppm 5 L", "0.001 % chlorine: cold clean water first, 2 mL bleach 3.5 %"),
        ("MIX 0.5 7 L 35% powder", "100 g powder 35 %, water to 7 L in all. Plastic"),
        ("MIX 0.5 1 L 70% POWDER", "0.56 % chlorine: cold clean water first, 8 g powder 70 %"),
    ],
)
def test_chlorine_of_what_is_typed(text: str, holds: str) -> None:
    recipe, _ = site(BLEACH).sends(text)

    assert holds in recipe


def test_powder_by_the_sites_own_spoon() -> None:
    """70 %, 0.5 %: 7.14 g a litre by the formula, not the 7.0 of a published table."""
    talk = site(("chlorine_source", "powder 70 %"), ("chlorine_measure", "spoon 5 g"))

    recipe, label = mixes(talk, "MIX 0.5 2 L")

    assert "3 x spoon (15 g) powder 70 %, water to 2 L in all" in recipe
    assert "Use it clear" in recipe
    assert "chlorine 0.525 %" in label


def test_bleach_by_the_sites_own_cup_never_exceeds_the_whole() -> None:
    talk = site(("chlorine_source", "bleach 1 %"), ("chlorine_measure", "cup 110 ml"))

    recipe, _ = talk.sends("MIX 0.9 100 ML")

    assert "90 mL bleach 1 %" in recipe


def test_bleach_of_that_strength_already_gets_no_water_and_is_doubted() -> None:
    (said,) = site(BLEACH).sends("MIX 0.5 2 L 0.5%")

    assert said == (
        "It is 0.5 % already: no water to it. Mixed before today it may have weakened: then mix "
        "new from the bottle as bought."
    )


def test_chlorine_by_its_name_alone_is_asked_how_strong_or_told_that_there_is_none() -> None:
    (asked,) = site(BLEACH).sends("MIX CHLORINE")
    (none,) = site().sends("MIX CHLORINE")

    assert asked.startswith("How strong is the chlorine to be? ")
    assert none.startswith("No chlorine is set up at this site")


# -- what cannot be, or is not clear ------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("MIX", "How much? Detergent: MIX 2 L."),
        ("MIX some", "How much?"),
        ("MIX 2", "2 of what?"),
        ("MIX 2 GALLONS", "Gallons, pints and ounces are not taken: they differ by country."),
        ("MIX 1gal", "Gallons, pints and ounces are not taken: they differ by country."),
        ("MIX 8 fl oz", "Gallons, pints and ounces are not taken: they differ by country."),
        ("MIX 0.1 5 L 3.5", "3.5 of what?"),
        ("MIX 01 5 L", "1 of what?"),
        ("MIX 1 5 L", "1 of what?"),
        ("MIX 2 L 3 L", "I am not sure of the amounts."),
        ("MIX 1,000 ML", "I am not sure of the amounts."),
        ("MIX 1/3 L", "I am not sure of the amounts."),
        ("MIX 100 L", "That volume cannot be right."),
        ("MIX 0 L", "That volume cannot be right."),
        ("MIX 50 ML", "So little cannot be measured well enough."),
        ("MIX 0.001 50 ML", "So little cannot be measured well enough."),
        ("MIX one litre and a half", "0.5 of what?"),
        ("MIX 0.1% FROM 1 litre and a half", "0.5 of what?"),
        ("MIX detergent 2 L 0.5", "I am not sure of the amounts."),
        ("MIX 0.5% 2 L soap", "I am not sure of the amounts."),
        ("MIX detergent FROM 10 ML 5%", "I am not sure of the amounts."),
        ("MIX 5 ppm 5 L", "That strength cannot be. From 0.001 to 100 %, please"),
        ("MIX 0.0009% 5 L", "That strength cannot be."),
        ("MIX 0% 2 L", "That strength cannot be."),
        ("MIX 0.1% 2 L 0%", "That strength cannot be."),
        ("MIX 0.1% 2 L 101%", "That strength cannot be."),
        ("MIX 5% 2 L", "3.5 % cannot make 5 %: water only weakens."),
        ("MIX 80% 2 L 70% POWDER", "70 % cannot make 80 %: water only weakens."),
    ],
)
def test_what_cannot_be_mixed_is_said_in_one_text(text: str, begins: str) -> None:
    talk = site(BLEACH, ("detergent_measure", "cap 5 ml"))
    (heard,) = talk.sends(text)

    assert heard.startswith(begins)


@pytest.mark.parametrize("typed", ["MIX 0.5% 7 L 35%", "MIX 5000 ppm 7 L 350000 ppm"])
def test_stronger_than_bleach_can_be_is_asked_whether_it_is_powder(typed: str) -> None:
    """Bleach is at most some 15 %: common practice, no source."""
    talk = site(BLEACH)
    example = "MIX 0.5% 7 L 35% POWDER"

    (said,) = talk.sends(typed)

    assert said == (
        "35 % is too strong for liquid bleach, 15 % at most. Is it powder? Then text "
        f"{example}. If not, look at the bottle again."
    )
    assert "100 g powder 35 %, water to 7 L" in talk.sends(example)[0]


def test_a_site_without_chlorine_is_not_given_a_recipe_for_it() -> None:
    (heard,) = site().sends("MIX 0.1 5 L 3.5%")

    assert heard.startswith("No chlorine is set up at this site")


@pytest.mark.parametrize("source", [(), (("chlorine_source", "something strong"),)])
def test_a_source_that_nobody_has_told_is_asked_for(source: tuple[tuple[str, str], ...]) -> None:
    talk = site(*source)
    talk.protocol = replace(talk.protocol, device_model=shipped().devices["plastic_probe"])

    (heard,) = talk.sends("MIX 0.1 5 L")

    assert heard.startswith("Which bleach?")


def test_a_ratio_that_is_none_is_no_mixture() -> None:
    talk = site()
    nothing = replace(
        talk.protocol.detergent, ml_per_litre=talk.protocol.detergent.ml_per_litre * 0
    )
    talk.protocol = replace(talk.protocol, detergent=nothing)

    (heard,) = talk.sends("MIX 2 L")

    assert heard.startswith("So little")


def test_S10_mix_alone_where_a_cycle_waits_for_mixed_is_asked_back() -> None:
    talk = site()
    play_cycle(talk, until="mix")

    (heard,) = talk.sends("mix", after=5)

    assert heard == "Mixed and labelled? Then reply MIXED. To ask for an amount: MIX 2 L."
    assert step_of(talk) == "mix"
    assert talk.sends("mix 2")[0].startswith("2 of what?")
    assert talk.sends("mix some")[0].startswith("How much?")


def test_mix_alone_on_another_phone_says_how() -> None:
    talk = site()
    play_cycle(talk, until="mix")

    (heard,) = talk.sends("mix", phone="ph2")

    assert heard.startswith("How much?")


# -- water, warmth, waste -----------------------------------------------------------------------


def test_rinse_water_of_the_product() -> None:
    (heard,) = site().sends("MIX WATER")

    assert heard == (
        "OPA 0.55 %: 3 rinses of 8 L, fresh each, 1 min each: 24 L and 3 min for one probe. "
        "Water: boiled and cooled, or sterile."
    )


def test_a_cold_bottle_is_warmed_in_water_and_by_nothing_else() -> None:
    """20 C: CDC/HICPAC 2008, Table 4; how it is warmed: common practice, no source."""
    (heard,) = site().sends("MIX COLD")

    assert heard.startswith("OPA 0.55 %: 20 C at least.")
    assert "Never a microwave, stove or flame" in heard


def test_spent_opa_is_made_harmless_first() -> None:
    """At least 25 g to a US gallon, 1 h: from memory of product instructions."""
    (heard,) = site().sends("MIX WASTE 4 L")

    assert heard == (
        "4 L of OPA 0.55 %: stir in 27 g glycine, wait 60 min, then drain with much water. "
        "Gloves, goggles, air. Local rules first."
    )


def test_how_much_is_to_go_is_asked() -> None:
    (heard,) = site().sends("MIX WASTE")

    assert heard == (
        "How much OPA 0.55 % is to go, from 50 ML to 50 L? MIX WASTE 2 L says what makes it "
        "harmless first."
    )


def test_where_nothing_is_to_be_added_the_disposal_is_said() -> None:
    talk = site()
    talk.protocol = replace(talk.protocol, chemistry=shipped().chemistries["hp_75"])

    assert talk.sends("MIX WASTE") == ["HP 7.5 %: Drain with much water."]

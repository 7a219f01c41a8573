"""MIX and the name of something: a ready disinfectant, chlorine, detergent, or nothing known."""

import pytest

from tests.conversation.test_mix import BLEACH, site


@pytest.mark.parametrize(
    "body", ["MIX OPA 2 L", "mix opa", "MIX 2L OPA", "MIX OPA 0.55% 2 L", "Mix 1 litre of OPA pls"]
)
def test_a_disinfectant_that_comes_ready_is_not_mixed(body: str) -> None:
    """Used undiluted: from memory, product instructions."""
    talk = site(BLEACH)

    (said,) = talk.sends(body)

    assert said == (
        "OPA 0.55 % is not mixed: never add water to it, it would be too weak. To fill with it: "
        "POUR. To throw it away: MIX WASTE OPA. Detergent: MIX 2 L."
    )
    assert talk.clinic.threads == {}


@pytest.mark.parametrize(
    ("body", "word"),
    [
        ("MIX disinfectant 2 L", "DISINFECT"),
        ("MIX glutaraldehyde 2% 5 L", "GLUTARALD"),
        ("MIX 2 L for the bath", "BATH"),
        ("mix 2 l vinegar", "VINEGAR"),
    ],
)
def test_of_what_nobody_knows_there_is_no_recipe(body: str, word: str) -> None:
    (said,) = site(BLEACH).sends(body)

    assert said == (
        f"I have no recipe for {word}. MIX 2 L is for detergent, MIX 0.1% 2 L for chlorine. A "
        "disinfectant that comes ready is never mixed with water: POUR."
    )


@pytest.mark.parametrize(
    "body",
    [
        "MIX 2 L of soap please",
        "MIX me the enzymatic detergent 2 L",
        "mix 2 L for V1",
        "Mix some more, 2 litres",
    ],
)
def test_detergent_is_given_by_its_names_and_without_one(body: str) -> None:
    assert site().sends(body)[0].startswith("16 mL detergent into 2 L water")


@pytest.mark.parametrize("word", ["chlorine", "BLEACH", "powder"])
def test_chlorine_without_a_strength_is_not_given_the_recipe_of_detergent(word: str) -> None:
    talk = site(BLEACH)

    (said,) = talk.sends(f"MIX {word} 2 L")

    assert said == (
        "How strong is the chlorine to be? Its percent first, like MIX 0.1% 2 L. Detergent: "
        "MIX 2 L."
    )
    assert "58 mL bleach 3.5 %, water to 2 L" in talk.sends("MIX 0.1% 2 L")[0]


def test_the_strength_of_the_bottle_alone_is_not_the_strength_that_is_wanted() -> None:
    (said,) = site(BLEACH).sends("MIX bleach 3.5% 2 L")

    assert said.startswith("How strong is the chlorine to be?")


def test_chlorine_by_its_name_where_none_is_set_up() -> None:
    assert site().sends("MIX chlorine 2 L")[0].startswith("No chlorine is set up at this site")


def test_chlorine_by_its_name_and_its_strength_is_mixed() -> None:
    recipe, _ = site(BLEACH).sends("MIX chlorine 0.1% 5 L")

    assert recipe.startswith("0.1 % chlorine: ")
    assert "143 mL bleach 3.5 %" in recipe


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("MIX", "How much? Detergent: MIX 2 L."),
        ("MIX 2", "2 of what?"),
        ("MIX 2 L 3 L", "I am not sure of the amounts."),
        ("MIX vinegar 2 L", "I have no recipe for VINEGAR."),
        ("MIX MAKE 5 ML", "What does it make?"),
        ("MIX FROM 1 L", "That makes less than 50 ML or more than 50 L"),
    ],
)
def test_where_no_chlorine_is_set_up_none_is_offered(body: str, begins: str) -> None:
    (said,) = site().sends(body)

    assert said.startswith(begins)
    assert "%" not in said


@pytest.mark.parametrize("body", ["MIX BLEACH 5%", "MIX FROM 0.1%", "MIX 0.1% 3.5%"])
def test_a_strength_without_an_amount_is_told_that_the_amount_is_missing(body: str) -> None:
    (said,) = site(BLEACH).sends(body)
    (none,) = site().sends(body)

    assert said == (
        "The amount is missing: how many L or ML? Like MIX 0.1% 5 L 3.5%, or of what is there: "
        "MIX 0.1% FROM 100 ML 5%."
    )
    assert none.startswith("No chlorine is set up at this site")

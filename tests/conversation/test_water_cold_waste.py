"""MIX WATER, COLD, WASTE and the name of something: its own figures, or none."""

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.events import JugOpened
from flows.protocols.model import Selection
from tests.kit.mixing import BLEACH, mixes, site
from tests.kit.talk import Talk, shipped_protocol
from tests.kit.two_products import EXPIRES, two_products

CHLORINE = Selection("chlorine_01", "opa_strip_1s_90s", "plastic_probe", "enzymatic")


def chlorine_site() -> Talk:
    talk = site(BLEACH)
    talk.protocol = shipped_protocol(CHLORINE)
    return talk


@pytest.mark.parametrize(
    ("named", "back"),
    [
        *(("chlorine", "CHLORINE"), ("bleach", "BLEACH"), ("detergent", "DETERGENT")),
        *(("glutaral", "GLUTARAL"), ("glutaraldehyde 2.4%", "GLUTARALDEHYDE"), ("XYZ", "XYZ")),
        *(("HP 7.5%", "HP"), ("T9", "T9"), ("OPA and bleach", "BLEACH"), ("T1 B1 M1", "chlorine")),
        *(("M1", "chlorine"), (labelled_tag("M1"), "chlorine"), ("S1", "S1")),
    ],
)
def test_S1_glycine_is_for_nothing_but_what_asks_for_it(named: str, back: str) -> None:
    """Chlorine and amines, of which glycine is one, make chloramines: from memory, general
    chemical safety."""
    talk = site(BLEACH)
    mixes(talk, "MIX 0.5% 2 L")

    (said,) = talk.sends(f"MIX WASTE {named} 2 L")

    assert said == (
        f"I know no way to make {back} harmless. Add nothing to it: its label and local rules "
        "say how it goes. Of what I know: MIX WASTE OPA 2 L."
    )


@pytest.mark.parametrize("word", ["COLD", "WATER"])
@pytest.mark.parametrize(
    ("named", "back"), [("chlorine", "CHLORINE"), ("glutaral", "GLUTARAL"), ("vinegar", "VINEGAR")]
)
def test_S17_no_product_is_warmed_or_rinsed_off_by_the_figures_of_another(
    word: str, named: str, back: str
) -> None:
    (said,) = site(BLEACH).sends(f"MIX {word} {named}")

    assert said == (
        f"I have no figures for {back}: its label has them. For what probes here soak in: "
        f"MIX {word} OPA."
    )


@pytest.mark.parametrize(
    "body",
    [
        *("MIX WASTE 2 L", "MIX WASTE OPA 2 L", "mix waste opa 0.55% 2 l", "MIX WASTE T1 2 L"),
        "mix waste the rest, 2 L, today",
        *("mix waste 2 L of the old bath", "MIX WASTE V1 2 L", "MIX WASTE T1 B1 2 L"),
        f"MIX WASTE {labelled_tag('T1')} 2 L",
    ],
)
def test_what_is_here_is_made_harmless_by_its_name_its_tag_or_its_probe(body: str) -> None:
    assert site(BLEACH).sends(body)[0].startswith("2 L of OPA 0.55 %: stir in 14 g glycine")


@pytest.mark.parametrize(
    ("tag", "begins"),
    [("T2", "2 L of glutaral 3.0 %: stir in 53 g"), ("T1", "2 L of OPA 0.55 %: stir in 14 g")],
)
def test_S1_a_tag_stands_for_what_it_holds(tag: str, begins: str) -> None:
    """26.5 g glycine a litre: a university safety office's protocol, 100 g a US gallon; OPA from
    memory of product instructions."""
    assert two_products().sends(f"MIX WASTE {tag} 2 L")[0].startswith(begins)


def test_cold_water_is_asked_about_as_water() -> None:
    assert site(BLEACH).sends("MIX COLD WATER")[0].startswith("OPA 0.55 %: 3 rinses of 8 L")


def test_of_containers_of_two_products_it_is_asked_which() -> None:
    assert two_products().sends("MIX WASTE T1 T2 2 L")[0].startswith("Of which?")


def test_what_is_only_poured_away_is_named() -> None:
    talk = chlorine_site()

    (said,) = talk.sends("MIX WASTE chlorine 2 L")
    (other,) = talk.sends("MIX WASTE OPA 2 L")

    assert said == (
        "chlorine 0.1 %: Drain with much water. Never together with acid or ammonia: poison gas."
    )
    assert other.startswith("I know no way to make OPA harmless.")


def test_S17_what_must_not_be_too_warm_is_told_up_to_where() -> None:
    """20 to 30 C: common practice, none published: chlorine is lost from warm water."""
    (said,) = chlorine_site().sends("MIX COLD chlorine")

    assert said == (
        "chlorine 0.1 %: 20 to 30 C. Lid on, stand it in a bowl of warm water, swirl, measure "
        "again. Never a microwave, stove or flame; no hot water into it."
    )


def test_bleach_in_its_jug_is_not_what_is_mixed_of_it() -> None:
    talk = chlorine_site()
    talk.let(JugOpened("J9", "chlorine_01", "L9", EXPIRES, talk.now, talk.now, "maker_expiry"))

    (said,) = talk.sends("MIX WASTE J9 1 L")

    assert said.startswith("I know no way to make bleach/powder harmless. Add nothing to it")


@pytest.mark.parametrize(
    "body",
    [
        *("MIX WASTE 1 litre and a half", "MIX WASTE 2 L 0.5", "MIX WASTE OPA 0.3% 2 L"),
        *("MIX WASTE 0.1% 2 L", "MIX WASTE 2 L 3", "MIX WASTE 2 gal", "MIX WASTE 8 fl oz"),
        *("MIX WASTE 2", "MIX WASTE 1 L 2 L"),
    ],
)
def test_a_number_that_is_no_part_of_the_name_is_asked_back(body: str) -> None:
    """It may be of another product, or of another amount."""
    (said,) = site(BLEACH).sends(body)

    assert said == (
        "I am not sure how much OPA 0.55 % is to go. Please send one number with L or ML and no "
        "other number, like MIX WASTE 1.5 L."
    )


@pytest.mark.parametrize("body", ["MIX WASTE", "MIX WASTE OPA", "MIX WASTE OPA 0.55%"])
def test_what_names_no_amount_is_asked_how_much(body: str) -> None:
    assert site(BLEACH).sends(body)[0].startswith("How much OPA 0.55 % is to go, from 50 ML to ")


@pytest.mark.parametrize("body", ["MIX WASTE 10 ml", "MIX WASTE 100 L", "MIX WASTE 0 L"])
def test_what_no_sink_takes_at_once_is_told_between_what_it_may_be(body: str) -> None:
    """50 ml to 50 l: common practice, no source."""
    (said,) = site(BLEACH).sends(body)

    assert said == (
        "That much OPA 0.55 % is not made harmless at once: from 50 ML to 50 L, please. If there "
        "is more, in parts: MIX WASTE 50 L."
    )


@pytest.mark.parametrize("name", ["glutaral 3%", "glutaral 3,0 %"])
def test_the_figure_in_a_name_is_no_other_number(name: str) -> None:
    assert two_products().sends(f"MIX WASTE {name} 2 L")[0].startswith("2 L of glutaral 3.0 %: ")

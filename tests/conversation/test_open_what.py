"""OPEN and POUR with the name of what is opened: nothing else is opened in its place (S4, S5)."""

import pytest

from flows.parts.events import JugOpened, Poured
from flows.protocols.model import Selection
from tests.kit.talk import Talk, clinic
from tests.kit.two_products import GLUTARAL, two_products

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def is_asked(talk: Talk) -> bool:
    return bool(talk.clinic.threads)


@pytest.mark.parametrize(
    ("text", "product"),
    [
        ("OPEN GLUTARAL 270331 G7", "glutaral"),
        ("OPEN glut", "glutaral"),
        ("OPEN HP 270331 G7", "HP"),
        ("OPEN S GLUTARALDEHYDE 270331 K7", "glutaral"),
        ("OPEN bleach 270331 G7", "chlorine"),
        ("POUR GLUTARAL", "glutaral"),
    ],
)
def test_S5_of_what_no_probe_here_is_soaked_in_nothing_is_opened(text: str, product: str) -> None:
    talk = clinic()

    (said,) = talk.sends(text)

    assert said == (
        f"No probe here is soaked in {product}: nothing is noted. Here they soak in OPA 0.55 %. "
        "Is that wrong? Your contact can put it right."
    )
    assert not is_asked(talk)


@pytest.mark.parametrize("text", ["OPEN detergent 270331 D4", "OPEN soap", "POUR detergent"])
def test_detergent_is_mixed_and_never_opened_by_text(text: str) -> None:
    talk = clinic()

    (said,) = talk.sends(text)

    assert said.startswith("Detergent is neither opened nor poured by text. MIX 2 L says how")
    assert not is_asked(talk)


@pytest.mark.parametrize(
    "text", ["OPEN", "OPEN OPA", "OPEN 270331 HP7781", "OPEN new jug", "POUR"]
)
def test_what_names_nothing_else_is_asked_as_ever(text: str) -> None:
    talk = clinic()

    talk.sends(text)

    assert is_asked(talk)


@pytest.mark.parametrize("text", ["OPEN bleach", "OPEN powder", "OPEN chlorine"])
def test_where_bleach_is_what_is_mixed_from_it_is_opened(text: str) -> None:
    talk = clinic(selection=CHLORINE)

    (said,) = talk.sends(text)

    assert said.startswith("New bottle of bleach or powder for chlorine 0.1 %, opened now")


def test_S5_with_two_products_a_third_is_neither() -> None:
    said = two_products().sends("OPEN HP 270331 G7")

    assert said[0].startswith("No probe here is soaked in HP: nothing is noted.")


def test_S5_a_jug_that_needs_its_activator_says_so_and_its_first_date_is_struck() -> None:
    talk = clinic(selection=GLUTARAL)
    for text in ("OPEN", "270331", "L7"):
        heard = talk.sends(text, after=20)
    talk.sends("POUR J1", after=60)

    label = talk.sends("ACTIVE", after=60)[0]

    assert heard[-1].startswith("Write NOT ACTIVE on J1 too: nothing is poured from it before")
    assert label.endswith("Name too, strike the old date.")
    assert len(talk.happened(JugOpened)) == 1
    assert not talk.happened(Poured)

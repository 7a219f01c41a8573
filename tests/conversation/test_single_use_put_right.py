"""An amount that is put right once its recipe is told: a new recipe, and nothing of the first."""

import pytest

from flows.parts.events import (
    CleaningRestarted,
    EvidenceStated,
    Mixed,
    Poured,
    PutInBath,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def asked(step: str) -> Talk:
    talk = clinic(selection=CHLORINE)
    play_cycle(talk, until=step)
    return talk


def test_S4_an_amount_put_right_is_a_new_recipe_and_goes_on_the_record() -> None:
    talk = asked("single_use")
    talk.sends("5% 20 L", after=20)

    recipe, question = talk.sends("70% powder 2 L", after=5)
    talk.sends("fresh", after=60)

    (poured,), (stated,) = talk.happened(Poured), talk.happened(EvidenceStated)
    assert "3 g powder 70 %, water to 2 L in all" in recipe
    assert question.startswith("Gloves, goggles, air.")
    assert (poured.volume_ml, stated.strength) == (2000, "powder 70 %")


def test_S5_what_is_put_right_may_be_as_old_as_the_first_recipe() -> None:
    talk = asked("single_use")
    talk.sends("5% 20 L", after=20)
    first = talk.now

    talk.sends("5% 2 L", after=60)
    talk.sends("fresh", after=60)

    assert [each.poured for each in talk.happened(Poured)] == [first]


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("2 L", "No strip for chlorine 0.1 %"),
        ("5%", "No strip for chlorine 0.1 %"),
        ("5 2 L", "No strip for chlorine 0.1 %"),
        ("0.1% 2 L", "0.1 % is weaker than any bleach"),
        ("5% 149 ml", "149 mL does not cover V1"),
        ("120% 2 L", "No strip for chlorine 0.1 %"),
    ],
)
def test_S4_nothing_is_fresh_of_an_amount_that_was_put_wrong_meanwhile(
    body: str, begins: str
) -> None:
    talk = asked("single_use")
    talk.sends("5% 20 L", after=20)

    said = talk.sends(body, after=5)
    talk.sends("fresh", after=60)

    assert said[0].startswith(begins)
    assert said[-1].startswith("No strip for chlorine 0.1 %")
    assert step_of(talk) == "single_use"
    assert talk.happened(Poured) == []


@pytest.mark.parametrize("body", ["5% 2 L", "bleach 2 litres 5 percent", "hm"])
def test_S10_the_same_amount_once_more_is_the_same_recipe(body: str) -> None:
    """A carrier may have doubled it."""
    talk = asked("single_use")
    _, question = talk.sends("5% 2 L", after=20)

    assert talk.sends(body, after=5)[-1] == question
    assert step_of(talk) == "single_use_mixed"


def test_S4_of_what_is_wiped_with_too_an_amount_put_right_is_a_new_recipe() -> None:
    talk = asked("to_wipe")
    talk.sends("5% 20 L", after=20)

    recipe, _ = talk.sends("5% 2 L", after=5)
    talk.sends("fresh", after=60)

    assert "40 mL bleach 5 %, water to 2 L" in recipe
    assert [each.volume_ml for each in talk.happened(Mixed)] == [2000]


@pytest.mark.parametrize(
    ("body", "tag"),
    [
        *(("IN T1 23", "T1"), ("V1 IN T1 23", "T1"), ("it is in T1", "T1"), ("IN T9 23", "T9")),
        *(("IN J1 23", "J1"), ("it fell in J1 5%", "J1")),
    ],
)
def test_S3_that_it_is_in_a_bath_is_no_new_recipe(body: str, tag: str) -> None:
    talk = clinic(selection=CHLORINE, devices=("V1", "V2"))
    play_cycle(talk, "V2", phone="ph2")
    play_cycle(talk, until="single_use_mixed")

    talk.sends(body, after=20)

    assert [each.bath for each in talk.happened(PutInBath)] == [tag]
    assert [each.device for each in talk.happened(CleaningRestarted)] == ["V1"]
    assert step_of(talk) == "wipe_detergent"


@pytest.mark.parametrize("body", ["in 23", "OUT?", "oops T1", "5 2 L with T1"])
def test_S3_what_may_be_said_of_the_probe_is_no_new_recipe(body: str) -> None:
    talk = asked("single_use_mixed")

    talk.sends(body, after=20)

    assert step_of(talk) == "single_use_mixed"


def test_S4_an_amount_that_names_its_source_is_a_new_recipe() -> None:
    talk = asked("single_use_mixed")

    talk.sends("5 2 L from J1", after=20)

    assert step_of(talk) == "single_use"

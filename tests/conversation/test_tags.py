"""A tag as it stands on a label, with its check letter: typed with it, without it, or wrong."""

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.clinic import Fitness
from flows.parts.events import JugOpened, StripDipped
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic

T1 = labelled_tag("T1")
LETTER = T1[-1]
WRONG = "A" if LETTER != "A" else "B"
ASKED_BACK = (
    "The letter behind T1 is not the one on its label. Please read the label again and send it "
    "once more."
)


def test_the_label_bears_the_tag_with_its_check_letter() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")

    (text,) = talk.sends("poured", after=60)

    assert text.startswith(f"Write on it: {T1} OPA 0.55 %, good to ")


@pytest.mark.parametrize("way", ["{tag}", "{tag}-{letter}", "{tag}{letter}", "{tag} {letter}"])
@pytest.mark.parametrize("case", [str.upper, str.lower])
def test_a_tag_is_typed_with_its_letter_or_without(way: str, case: type[str]) -> None:
    talk = clinic()

    heard = talk.sends(f"DISCARD {case(way.format(tag='T1', letter=LETTER))}")

    assert heard[0].startswith("T1 is noted as thrown away.")
    assert talk.clinic.containers["T1"].fitness is Fitness.DISCARDED


@pytest.mark.parametrize("command", ["DISCARD", "TEST", "STATE", "OPEN", "POUR"])
@pytest.mark.parametrize("tag", [f"T1-{WRONG}", f"t1{WRONG}", f"T1 {WRONG}"])
def test_a_wrong_letter_is_asked_back_and_changes_nothing(command: str, tag: str) -> None:
    talk = clinic()
    before = talk.clinic

    heard = talk.sends(f"{command} {tag}")

    assert heard == [ASKED_BACK]
    assert talk.clinic == before


def test_strips_have_one_too() -> None:
    talk = clinic()
    right = labelled_tag("S1")
    wrong = right[:-1] + ("A" if right[-1] != "A" else "B")

    assert talk.sends(f"DISCARD {wrong}")[0].startswith("The letter behind S1 is not")
    assert talk.sends(f"DISCARD {right}") == ["S1 is noted as thrown away."]


def test_a_strip_is_dipped_by_the_tag_on_the_label() -> None:
    talk = clinic()
    talk.sends("TEST T1")

    asked = talk.sends(f"dip T1-{WRONG}", after=20)
    before = talk.happened(StripDipped)
    talk.sends(f"dip {T1}", after=20)

    assert asked == [ASKED_BACK]
    assert before == []
    assert [each.container for each in talk.happened(StripDipped)] == ["T1"]


def test_a_bath_is_named_so_beside_its_temperature() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    asked = talk.sends(f"in T1{WRONG} 23 c", after=20)
    talk.sends(f"in {T1} 23 c", after=20)

    assert asked == [ASKED_BACK]
    assert talk.clinic.containers["T1"].in_use_by is not None


def test_a_unit_behind_a_bath_is_no_check_letter() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    talk.sends(f"in T1 {WRONG if WRONG == 'C' else 'c'} 23", after=20)

    assert talk.clinic.containers["T1"].in_use_by is not None


def test_a_lot_that_looks_like_a_label_is_a_lot() -> None:
    talk = clinic()
    talk.sends("OPEN")
    talk.sends("270331", after=20)

    talk.sends(f"T1{WRONG}", after=20)

    assert talk.happened(JugOpened)[-1].lot == f"T1{WRONG}"


def test_a_tag_that_nobody_knows_is_told_without_its_letter() -> None:
    (text,) = clinic().sends("DISCARD T9K")

    assert text.startswith("Not known here, so nothing is noted of it: T9. There are: T1, J1, B1")


@pytest.mark.parametrize("typed", ["J2-O", "J2-0", "j2-o", "J2O"])
def test_a_letter_that_looks_like_a_figure_is_taken_for_either(typed: str) -> None:
    talk = clinic()
    talk.sends("OPEN")
    for answer in ("270331", "L77"):
        talk.sends(answer, after=20)

    heard = talk.sends(f"DISCARD {typed}")

    assert heard[0].startswith("J2 is noted as thrown away.")


def test_a_figure_behind_a_tag_is_another_tag() -> None:
    talk = clinic()
    talk.sends("OPEN")
    for answer in ("270331", "L77"):
        talk.sends(answer, after=20)

    assert talk.sends("DISCARD J20")[0].startswith(
        "Not known here, so nothing is noted of it: J20."
    )

"""POURED where FILLED is awaited, MIXED for FRESH: it answers nothing (S10), and why is said."""

import pytest

from flows.parts.events import Poured
from tests.conversation.test_single_use import asked
from tests.kit.cycles import step_of
from tests.kit.talk import clinic

NO_BATH = (
    "This is the working bottle, no bath. Was it empty, washed, dry, and is J1 in it? Reply "
    "FILLED, not POURED; TOPPED if anything was still in it."
)


@pytest.mark.parametrize("said", ["POURED", "poured.", "POURED J1"])
def test_S10_POURED_fills_no_bottle_and_why_is_said(said: str) -> None:
    talk = clinic()
    talk.sends("POUR J1")

    assert talk.sends(said, after=60) == [NO_BATH]
    assert talk.happened(Poured)[2:] == []
    assert talk.sends("FILLED", after=60)[0].startswith("Write on it: B2-")


@pytest.mark.parametrize("said", ["FILLED", "filled b1"])
def test_S10_FILLED_pours_no_bath_and_why_is_said(said: str) -> None:
    talk = clinic()
    talk.sends("POUR")

    assert talk.sends(said, after=60) == [
        (
            "This is the bath, no bottle. Was the tub empty, washed, dry, and is B1 in it to the "
            "line? Reply POURED, not FILLED; TOPPED if anything was still in it."
        )
    ]
    assert talk.sends("POURED", after=60)[0].startswith("Write on it: T2-")


@pytest.mark.parametrize("step", ["single_use_mixed", "to_wipe_mixed"])
def test_S4_MIXED_vouches_for_nothing_of_what_is_asked_and_why_is_said(step: str) -> None:
    talk = asked(step)

    assert talk.sends("MIXED", after=60) == [
        (
            "More than MIXED is asked: what it is in was empty, washed, dry; all measured; the "
            "right water; clear, nothing in it? All so: FRESH. Not all, not sure: UNSURE."
        )
    ]
    assert step_of(talk) == step


def test_S10_the_bottle_is_asked_for_in_its_own_word_once_the_bath_is_answered() -> None:
    talk = clinic()
    talk.sends("POUR J1")
    talk.sends("POUR", after=60)

    label, then = talk.sends("POURED", after=60)

    assert label.startswith("Write on it: T2-")
    assert then == NO_BATH


def test_another_word_gets_the_question_again() -> None:
    talk = clinic()
    (question,) = talk.sends("POUR J1")

    assert talk.sends("WASHED", after=60)[-1] == question
    assert talk.sends("RINSED", after=60) == [question]

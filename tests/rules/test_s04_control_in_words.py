"""S4: the quality control of strips, told in words or taken back in words."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import StripsChecked
from tests.kit.talk import Talk, clinic


def at_the_control() -> Talk:
    talk = clinic()
    for body in ("OPEN S", "270331", "K2"):
        talk.sends(body, after=20)
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("one failed", "2 of 3 passed", "not good", "not all passed", "S2 not good"),
        "2/3 passed",
    ],
)
def test_S4_a_control_that_was_not_just_so_is_no_pass(body: str) -> None:
    talk = at_the_control()

    talk.sends(body, after=900)

    assert [each.passed for each in talk.happened(StripsChecked)] == [False]
    assert talk.clinic.strips["S2"].fitness is Fitness.CONDEMNED


@pytest.mark.parametrize(
    "body", ["3 passed 3 failed", "3 of 3 passed", "S1 not good", "not good?", "none failed", "no"]
)
def test_S4_what_may_be_just_so_is_asked_once_more(body: str) -> None:
    talk = at_the_control()

    talk.sends(body, after=900)

    assert talk.happened(StripsChecked) == []
    assert talk.last().startswith("Test the strips of S2")


@pytest.mark.parametrize(
    "body", ["sorry only did 2", "one of the water ones was purple too", "wrong strips"]
)
def test_S4_what_is_told_right_after_GOOD_is_said_to_be_not_noted(body: str) -> None:
    talk = at_the_control()
    talk.sends("GOOD", after=900)

    (heard,) = talk.sends(body, after=20)

    assert heard.startswith("Not understood: nothing is noted. Strips S2 out of date")


def test_S5_what_is_told_right_after_a_jug_was_opened_is_said_to_be_not_noted() -> None:
    talk = clinic()
    for body in ("OPEN", "270331", "D9"):
        talk.sends(body, after=20)

    (heard,) = talk.sends("it was open since christmas", after=20)

    assert heard.endswith("in doubt? FAULT J2.")

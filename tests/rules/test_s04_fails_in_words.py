"""S4: who tells a fail in other words is told its digit; the strips themselves are not blamed."""

import pytest

from flows.parts.clinic import Fitness, Level
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import outcomes
from tests.kit.talk import Talk, clinic

ASKED = "If that is how the strip looks, it fails: reply T1 2. It is not noted yet."


def dipped(level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until="read")
    return talk


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(
    "body",
    [
        *("all blue", "blue", "patchy", "1 patchy", "not all purple", "half purple", "not purple"),
        *("it was blue", "T1 blue", "blue and purple", "the strip is patchy", "1 not all purple"),
        *("a bit blue", "it failed", "no purple", "1 blue"),
    ],
)
def test_S4_a_fail_in_other_words_is_asked_back_by_its_digit(body: str, level: Level) -> None:
    talk = dipped(level)

    heard = talk.sends(body, after=95)

    assert heard == [ASKED]
    assert outcomes(talk) == []
    assert talk.clinic.strips["S1"].fitness is Fitness.GOOD
    talk.sends("T1 2", after=10)
    assert outcomes(talk) == [("fail", "")]


@pytest.mark.parametrize(
    "body",
    [
        *("all blue?", "no blue", "not any blue", "not patchy", "purple"),
        *("purple no blue", "all purple", "patchy, S1 was wet", "not blue all purple", "not sure"),
    ],
)
def test_S4_what_denies_a_fail_or_tells_more_is_not_asked_back_as_one(body: str) -> None:
    talk = dipped()

    heard = talk.sends(body, after=95)

    assert ASKED not in heard
    assert "pass" not in {outcome for outcome, _ in outcomes(talk)}


@pytest.mark.parametrize("body", ["test failed", "test was blue", "test blue", "test T1 failed"])
def test_S4_test_failed_is_of_the_strip_that_is_read_and_no_command(body: str) -> None:
    talk = dipped()

    assert talk.sends(body, after=95) == [ASKED]

    assert step_of(talk) == "read"


@pytest.mark.parametrize("body", ["test failed", "test was blue", "test T1 failed"])
def test_S4_test_failed_just_after_a_pass_is_asked_about(body: str) -> None:
    talk = dipped()
    talk.sends("1", after=95)

    (text,) = talk.sends(body, after=30)

    assert text.startswith("Is it about the strip of T1? If it fails after all, text T1 2")


@pytest.mark.parametrize("body", ["test T9 failed", "test", "test purple"])
def test_S4_test_that_tells_no_fail_of_that_strip_is_a_command(body: str) -> None:
    talk = dipped()

    heard = talk.sends(body, after=95)

    assert ASKED not in heard
    assert outcomes(talk) == []

"""S4: who tells a fail in other words is told its digit; the strips themselves are not blamed."""

import pytest

from flows.parts.clinic import Fitness, Level
from tests.kit.cycles import play_cycle
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

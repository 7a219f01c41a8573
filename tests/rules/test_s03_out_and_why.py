"""S3, S8: why it came out is told with OUT, and is not answered as if nothing had been said.

Straight back in was offered to what was cracked, and from a bath whose strip had failed. Source:
common practice for what people say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import CleaningRestarted, SoakBroken
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

ONLY = "Only that V1 came out is noted. Damaged? FAULT V1. Used? USED V1. T1 or its strip not good"


def soaking() -> Talk:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="soaking")
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("OUT, strip was blue", "OUT strip was 2", "OUT T1 is cloudy", "OUT used 0412"),
        *("OUT Ann topped it up", "OUT plug went under", "V1 OUT the bath was diluted"),
    ],
)
def test_S8_only_that_it_came_out_is_noted_and_that_is_said(body: str) -> None:
    talk = soaking()

    heard = talk.sends(body, after=20)

    assert heard[0].startswith(ONLY)
    assert [each.because for each in talk.happened(SoakBroken)] == ["early_out"]


@pytest.mark.parametrize(
    "body",
    ["OUT, it is cracked", "OUT because it fell", "V1 OUT broken", "it fell out", "OUT blood"],
)
def test_S3_what_fell_or_may_be_damaged_does_not_go_straight_back_in(body: str) -> None:
    talk = soaking()

    heard = talk.sends(body, after=20)

    assert heard[0].startswith(ONLY)
    assert len(talk.happened(CleaningRestarted)) == 1
    assert step_of(talk) == "under"


@pytest.mark.parametrize(
    "body",
    [
        *("OUT", "V1 OUT", "OUT sorry", "OUT by mistake", "V1 came out", "OUT 2 min early"),
        *("i took it out too soon", "OUT 77 21.5 C", "out of T1", "out at 9:04"),
    ],
)
def test_S3_out_with_nothing_more_goes_straight_back_in(body: str) -> None:
    talk = soaking()

    (heard,) = talk.sends(body, after=20)

    assert heard.startswith("V1 came out ")
    assert step_of(talk) == "back_in"

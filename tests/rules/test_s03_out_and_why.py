"""S3, S8: why it came out is told with OUT, and is not answered as if nothing had been said.

Straight back in was offered to what was cracked, and from a bath whose strip had failed. Source:
common practice for what people say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import CleaningRestarted, SoakBroken, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic

ONLY = "Only that V1 came out is noted. Damaged? FAULT V1. Used? USED V1. T1 or its strip not good"


def soaking() -> Talk:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="soaking")
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("OUT, strip was blue", "OUT strip was 2", "OUT T1 is cloudy"),
        *("OUT Ann topped it up", "OUT plug went under", "V1 OUT the bath was diluted"),
        *("OUT, second probe in it", "out, 2 in one bath"),
    ],
)
def test_S8_only_that_it_came_out_is_noted_and_that_is_said(body: str) -> None:
    talk = soaking()

    heard = talk.sends(body, after=20)

    assert heard[0].startswith(ONLY)
    assert [each.because for each in talk.happened(SoakBroken)] == ["early_out"]


@pytest.mark.parametrize(
    "body",
    ["OUT, cracked", "OUT fell down", "V1 OUT broken", "it fell out", "OUT blood"],
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
        *("out, bell rang", "out done", "out it is done", "out, my timer rang", "out to check"),
        *("out and back in", "out again", "out 2 seconds", "out at once back in"),
    ],
)
def test_S3_out_with_nothing_more_goes_straight_back_in(body: str) -> None:
    talk = soaking()

    (heard,) = talk.sends(body, after=20)

    assert heard.startswith("V1 came out ")
    assert step_of(talk) == "back_in"


@pytest.mark.parametrize(
    "body",
    [
        *("OUT, it is cracked", "out 77, it is cracked", "out early, it is cracked"),
        *("OUT, V1 cracked", "OUT used 0412"),
    ],
)
def test_S3_what_is_a_text_of_its_own_beside_it_does_not_keep_it_in(body: str) -> None:
    """Bad news that is only asked back let no answer beside it count, and OUT was one."""
    talk = soaking()

    heard = talk.sends(body, after=20)

    assert [each.because for each in talk.happened(SoakBroken)] == ["early_out"]
    assert any(
        each.startswith(("About V1: nothing is noted yet", "Only that V1 came out"))
        for each in heard
    )


def test_S8_at_the_bell_an_answer_beside_bad_news_waits() -> None:
    talk = soaking()
    wait_for_bell(talk)

    talk.sends(f"out {number_for(talk)}, it is cracked", after=20)

    assert talk.happened(TakenOut) == []


@pytest.mark.parametrize(
    "more",
    [
        *(" but the bath was cloudy", " and the strip was blue", ", T1 is cloudy"),
        *(" but it was half out", ", it was not under", "\nthe bath is expired"),
        *(" but someone added water", ", the tub leaked"),
        *(", second probe in it", ", 2 in one", ", 2 probes in T1"),
    ],
)
@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
def test_S8_at_the_bell_bad_news_beside_the_number_is_said_to_be_not_noted(
    more: str, level: Level
) -> None:
    talk = clinic(level=level)
    play_cycle(talk, until="soaking")
    wait_for_bell(talk)

    heard = talk.sends(f"out {number_for(talk)}{more}", after=20)

    assert "nothing" in heard[0].lower()
    assert "FAULT T1" in heard[0]
    assert heard[-1].startswith("V1: was it in until the bell?")
    assert talk.happened(TakenOut) == []


@pytest.mark.parametrize("more", [", clean", " sister", ", bell rang", " my timer rang"])
def test_S8_small_talk_beside_the_number_is_no_bad_news(more: str) -> None:
    talk = soaking()
    wait_for_bell(talk)

    heard = talk.sends(f"out {number_for(talk)}{more}", after=20)

    assert not any("noted" in each for each in heard)

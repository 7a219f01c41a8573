"""S17: it is out, and only how warm its bath was is asked: nobody is told that it is in."""

import re

import pytest

from flows.parts.events import SoakBroken
from tests.kit.cycles import number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def out_and_unread(celsius: str = "21", reading: str = "") -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking", celsius=celsius)
    talk.wait(minutes=14)
    talk.sends(f"OUT {number_for(talk)} {reading}".strip())
    assert step_of(talk) == "soaking"
    return talk


@pytest.mark.parametrize(
    ("celsius", "reading", "asks"),
    [("21", "", "V1: measure the bath once more"), ("23", "64", "V1: was that C or F?")],
)
def test_S17_left_asks_for_the_reading_and_for_nothing_else(
    celsius: str, reading: str, asks: str
) -> None:
    talk = out_and_unread(celsius, reading)

    (text,) = talk.sends("LEFT", after=20)

    assert text.startswith(asks)


def test_S17_left_tells_of_the_other_soak_all_the_same() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking", celsius="21")
    play_cycle(talk, "V2", until="soaking", named=True)
    talk.wait(minutes=6)
    talk.sends(f"OUT {number_for(talk)}")

    heard = talk.sends("LEFT", after=20)

    assert re.match(r"V2: \d+ min .* left, until", heard[0])
    assert heard[1].startswith("V1: measure the bath once more")
    assert len(heard) == 2


def test_S17_state_does_not_say_that_it_is_in() -> None:
    talk = out_and_unread()

    table = talk.sends("STATE", after=20)
    life = talk.sends("STATE T1", after=20)

    assert not any("in it" in text for text in table)
    assert any(
        "T1: V1 is out of it, and its temperature is still asked for." in text for text in life
    )


def test_S21_nobody_is_told_to_take_out_what_may_be_out() -> None:
    talk = out_and_unread()
    play_cycle(talk, "V2", phone="ph2", until="inspect")
    talk.wait(seconds=20)
    heard = len(talk.heard["ph1"])

    answer = talk.sends("IN T1 22", phone="ph2")

    assert answer[0] == (
        "T1 is in use for V1: one probe a bath. Take V2 out, use another bath. The soak of V1 is "
        "void too."
    )
    assert talk.heard["ph1"][heard] == (
        "V1: another probe was put in its bath. If V1 is still in it, take it out. It must be "
        "cleaned from the start."
    )
    assert [each.because for each in talk.happened(SoakBroken)] == ["second_device"]

"""S8: a clinic that has run out is no dead end: the device is not ready, and people know."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import AlertRaised, ContainerDiscarded, CycleAbandoned, StripBottleOpened
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic


def test_S8_nothing_to_open_gives_the_cycle_up_and_tells_both() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug")

    (heard,) = talk.sends("empty", after=20)

    assert "V1 cannot be finished now" in heard
    assert [event.because for event in talk.happened(CycleAbandoned)] == ["no_supplies"]
    assert [event.cause for event in talk.happened(AlertRaised)] == ["abandoned"]
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("command", ["OPEN", "OPEN S"])
def test_S8_outside_a_cycle_nothing_to_open_ends_the_question(command: str) -> None:
    talk = clinic()
    talk.sends(command)

    talk.sends("EMPTY", after=20)

    assert talk.clinic.threads == {}
    assert len(talk.happened(StripBottleOpened)) == 1


def test_S8_where_strips_are_what_is_lacking_that_is_what_is_said() -> None:
    talk = clinic()
    talk.let(ContainerDiscarded("S1"))
    play_cycle(talk, until="strips")

    (heard,) = talk.sends("empty", after=20)

    assert heard.endswith("Your contact is told. When there are strips: CLEAN V1.")


def test_S8_a_question_about_a_container_does_not_end_without_a_word() -> None:
    """S7: whoever answers later would not be understood."""
    talk = clinic()
    talk.sends("OPEN")

    talk.wait(minutes=61)

    assert talk.clinic.threads == {}
    assert talk.last() == (
        "I have stopped waiting: of my last question about solution or strips nothing is noted. "
        "To begin again: OPEN, POUR, MIX 2 L or TEST T1."
    )


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        (
            "EMPTY",
            (
                "What is empty? Once it is thrown away text DISCARD and its tag, like DISCARD J1. "
                "A new one: OPEN, POUR or OPEN S."
            ),
        ),
        (
            "j1 is empty",
            "Is J1 empty? Nothing is noted of it yet. Once it is thrown away: DISCARD J1.",
        ),
        (
            "EMPTY B1",
            "Is B1 empty? Nothing is noted of it yet. Once it is thrown away: DISCARD B1.",
        ),
    ],
)
def test_S8_what_is_said_to_be_empty_is_led_to_its_discard(said: str, heard: str) -> None:
    """S7: nobody has said that it was thrown away."""
    talk = clinic()

    assert talk.sends(said) == [heard]
    assert talk.happened(ContainerDiscarded) == []


def test_S8_in_a_cleaning_too() -> None:
    talk = clinic()
    play_cycle(talk, until="mix")

    assert talk.sends("B1 is empty", after=20)[0].startswith("Is B1 empty? ")
    assert talk.sends("mixed", after=20)[0].startswith("V1: wipe the probe with the solution")

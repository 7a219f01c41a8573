"""S8: a clinic that has run out is no dead end: the device is not ready, and people know."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import AlertRaised, CycleAbandoned, StripBottleOpened
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

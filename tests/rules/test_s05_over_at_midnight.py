"""S5: a lot that is told after midnight of the expiry: what is over is not taken into use."""

from datetime import timedelta

import pytest

from flows.parts.events import JugOpened, StripBottleOpened
from tests.kit.talk import Talk, clinic

WAYS = pytest.mark.parametrize("command", ["OPEN", "OPEN S"])


def asked_before_midnight(command: str) -> Talk:
    """The label says today; the site's day is over ten seconds from now."""
    talk = clinic(stocked=False)
    talk.now += timedelta(hours=11, minutes=58, seconds=50)
    talk.sends(command, after=20)
    talk.sends("260302", after=20)
    return talk


def opened(talk: Talk) -> list[JugOpened | StripBottleOpened]:
    return [*talk.happened(JugOpened), *talk.happened(StripBottleOpened)]


@WAYS
def test_S5_whose_lot_comes_after_midnight_is_refused_and_another_asked_for(command: str) -> None:
    talk = asked_before_midnight(command)

    told, asked = talk.sends("L77", after=40)

    assert told.startswith("Expired 2 Mar 2026: do not take it into use.")
    assert asked.startswith("New ")
    assert opened(talk) == []


@WAYS
def test_S5_a_second_before_midnight_it_is_opened(command: str) -> None:
    talk = asked_before_midnight(command)

    heard = talk.sends("L77", after=29)

    assert heard[0].startswith("Write on it: ")
    assert "good to the end of 2 Mar 2026" in heard[0]

"""S6: a bath that is told to be thrown away, without the word, is asked back as DISCARD."""

import pytest

from flows.parts.clinic import Fitness, Level
from flows.parts.events import ContainerDiscarded
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

ASKED = "Is T1 thrown away, all of it? Nothing is noted of that yet. If so, text DISCARD T1."


def failed(level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until="read")
    talk.sends("2", after=95)
    return talk


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(
    "body",
    [
        *("T1 thrown away", "T1 was emptied", "I tipped T1 out", "T1 poured away"),
        *("thrown T1 away", "T1 has been poured down the sink"),
    ],
)
def test_S6_what_is_told_to_be_thrown_away_is_asked_back_as_DISCARD(
    body: str, level: Level
) -> None:
    talk = failed(level)

    heard = talk.sends(body, after=40)

    assert heard[0] == ASKED
    assert talk.happened(ContainerDiscarded) == []
    talk.sends("DISCARD T1", after=20)
    assert talk.clinic.containers["T1"].fitness is Fitness.DISCARDED


@pytest.mark.parametrize(
    "body",
    ["T1 thrown away?", "half of T1 poured away", "T1 not thrown away", "T1 tipped over", "T1"],
)
def test_S6_what_may_be_another_thing_of_it_is_not(body: str) -> None:
    talk = failed()

    assert ASKED not in talk.sends(body, after=40)


def test_S3_nobody_is_asked_to_throw_away_what_is_soaked_in() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    assert ASKED not in talk.sends("T1 thrown away", after=40)

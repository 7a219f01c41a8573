"""S8: an answer of a cleaning that was given up is told how the probe stands, and nothing else."""

import pytest

from flows.parts.events import NotUnderstood, Quarantined
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

STANDS = "V1 NOT READY: cleaning not finished. Do not use it. Clean it: CLEAN V1."


def given_up() -> Talk:
    """V1 lay for hours before its cover; nobody answered."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="cover")
    talk.wait(minutes=240)
    return talk


@pytest.mark.parametrize("body", ["V1 covered", "V1 COVERED please", "covered V1", "V1 rinsed 77"])
@pytest.mark.parametrize("aside", ["", "CLEAN V2", "POUR"])
def test_S8_it_hears_how_it_stands(aside: str, body: str) -> None:
    talk = given_up()
    if aside:
        talk.sends(aside, after=20)

    heard = talk.sends(body, after=20)

    assert heard == [STANDS]
    assert talk.happened(NotUnderstood) == []


@pytest.mark.parametrize(
    "body", ["V1 cover torn", "V1 covered but it fell", "V1 covered V2 fell", "V1 not covered"]
)
def test_S8_what_says_more_is_not(body: str) -> None:
    talk = given_up()

    heard = talk.sends(body, after=20)

    assert STANDS not in heard


def test_S13_damage_counts_all_the_same() -> None:
    talk = given_up()

    talk.sends("V1 damaged", after=20)

    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]


def test_S10_where_it_is_cleaned_again_it_is_an_answer_to_that() -> None:
    talk = given_up()
    play_cycle(talk, until="cover")

    talk.sends("V1 covered", after=200)

    assert step_of(talk) == ""

"""S10: STAINED before anything is done undoes nothing, and an answer of before it does not count.

On brief texts one UNDER is all the cleaning by hand: brought late by a carrier it stood for wiping
that nobody had done since the stain was told. Source: common practice for what carriers do.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import AnsweredTooSoon, CleaningRestarted, StepDone
from tests.kit.cycles import arrives, play_cycle, step_of
from tests.kit.talk import Talk, clinic

WORDS = ("V1 STAINED", "STAINED", "AGAIN", "V1 MOVED")


def begun(level: Level, step: str) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until=step)
    return talk


@pytest.mark.parametrize("body", WORDS)
def test_S10_an_under_of_before_is_told_by_its_date(body: str) -> None:
    talk = begun(Level.BRIEF, "under")
    talk.wait(seconds=120)
    sent_at = talk.now

    talk.sends(body, after=40)
    talk.wait(seconds=240)
    arrives(talk, "UNDER", sent_at)

    assert len(talk.happened(CleaningRestarted)) == 1
    assert talk.happened(StepDone) == []
    assert len(talk.happened(AnsweredTooSoon)) == 1
    talk.sends("UNDER", after=90)
    assert step_of(talk) == "dip"


@pytest.mark.parametrize("body", WORDS)
@pytest.mark.parametrize("step", ["inspect", "wipe_detergent"])
def test_S13_it_is_asked_anew_and_no_inspection_is_left_out(body: str, step: str) -> None:
    talk = begun(Level.COACH, step)

    talk.sends(body, after=20)

    assert step_of(talk) == step
    assert len(talk.happened(CleaningRestarted)) == 1
    play_cycle(talk)
    assert talk.clinic.devices["V1"].release


def test_S20_before_the_cautions_are_read_nothing_has_begun() -> None:
    talk = begun(Level.COACH, "cautions")

    talk.sends("V1 STAINED", after=20)

    assert step_of(talk) == "cautions"
    assert talk.happened(CleaningRestarted) == []

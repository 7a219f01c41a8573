"""S4: IN that a shared phone is asked for has used the strip, whoever it is that says so."""

import pytest

from flows.parts.events import (
    HolderSignedIn,
    HolderSignedOut,
    Immersed,
    PhoneEnrolled,
    PutInBath,
    StripRead,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

SHARED = "ph3"


def unheld(step: str = "immerse") -> Talk:
    talk = clinic(devices=("V1", "V2"))
    talk.let(PhoneEnrolled(SHARED, ("p1", "p2"), shared=True), HolderSignedIn(SHARED, "p1"))
    play_cycle(talk, phone=SHARED, until=step)
    talk.let(HolderSignedOut(SHARED))
    return talk


def was_in(talk: Talk) -> list[tuple[str, str, str]]:
    return [(each.device, each.bath, each.because) for each in talk.happened(PutInBath)]


@pytest.mark.parametrize("body", ["IN 23", "V1 in T1", "V1 IN 23"])
def test_S4_it_is_noted_and_begun_anew_it_has_a_strip_of_its_own(body: str) -> None:
    talk = unheld()

    talk.sends(body, phone=SHARED, after=20)
    noted = was_in(talk)
    talk.let(HolderSignedIn(SHARED, "p1"))
    talk.sends("AGAIN", phone=SHARED, after=20)
    play_cycle(talk, phone=SHARED)

    assert noted == [("V1", "T1", "told")]
    assert len(talk.happened(StripRead)) == 2


def test_S5_told_again_by_whoever_is_asked_it_is_one_soak_on_that_strip() -> None:
    talk = unheld()

    talk.sends("IN 23", phone=SHARED, after=20)
    talk.let(HolderSignedIn(SHARED, "p1"))
    play_cycle(talk, phone=SHARED)

    assert len(talk.happened(StripRead)) == len(talk.happened(Immersed)) == 1


@pytest.mark.parametrize("body", ["V2 IN 23", "in?", "in 5 min", "dry", "OUT"])
def test_S4_what_tells_of_no_in_of_it_uses_nothing(body: str) -> None:
    talk = unheld()

    talk.sends(body, phone=SHARED, after=20)

    assert was_in(talk) == []
    assert step_of(talk) == "immerse"

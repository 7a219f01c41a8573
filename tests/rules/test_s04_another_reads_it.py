"""S4: on a shared phone a strip may be read by somebody else than has dipped it: a fail counts."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import CycleTaken, HolderSignedIn, PhoneEnrolled
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import outcomes
from tests.kit.talk import Talk, clinic


def dipped_by_another() -> Talk:
    """The first has dipped a strip for V1 and was called away; the second holds the phone."""
    talk = clinic()
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p1"))
    play_cycle(talk, until="read", phone="ph5")
    talk.let(HolderSignedIn("ph5", "p2"))
    return talk


@pytest.mark.parametrize(("said", "because"), [("2", ""), ("3", "unsure"), ("T1 2", "")])
def test_S4_a_fail_is_of_whoever_reads_it(said: str, because: str) -> None:
    talk = dipped_by_another()

    heard = talk.sends(said, phone="ph5", after=95)

    assert "T1 FAILED" in heard[0]
    assert outcomes(talk) == [("fail", because)]
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


def test_S4_whoever_dipped_it_does_not_pass_it_any_more() -> None:
    talk = dipped_by_another()
    talk.sends("2", phone="ph5", after=95)

    talk.let(HolderSignedIn("ph5", "p1"))
    talk.sends("1", phone="ph5", after=5)

    assert outcomes(talk)[0] == ("fail", "")
    assert ("pass", "") not in outcomes(talk)
    assert step_of(talk) not in {"read", "immerse", "await_detergent"}


def test_S4_a_pass_is_left_to_whoever_takes_the_cleaning() -> None:
    talk = dipped_by_another()

    heard = talk.sends("1", phone="ph5", after=95)

    assert heard == ["V1 is being cleaned by Namep1. To carry on with it yourself: TAKE V1."]
    assert outcomes(talk) == []
    assert not talk.happened(CycleTaken)

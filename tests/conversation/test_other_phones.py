"""What one phone says about another one's work is told there too (S7, S8, S13)."""

import pytest

from flows.parts.events import (
    CycleAbandoned,
    HolderSignedIn,
    PhoneEnrolled,
    PhoneOptedOut,
    TextUndelivered,
)
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic

TAKE_IT_OUT = "V1: gloves on, take it out of T1 first."
STOP_HERE = (
    "V1: stop here. A fault or a use was told from another phone: this cleaning does not count. "
    "V1 is NOT READY."
)


@pytest.mark.parametrize("body", ["FAULT V1", "USED V1 0412", "USED V1"])
@pytest.mark.parametrize("step", ["wipe_water", "soaking", "cover"])
def test_S8_whoever_is_at_it_hears_that_its_cleaning_has_ended(body: str, step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    heard = len(talk.heard["ph1"])

    talk.sends(body, phone="ph2", after=20)

    assert len(talk.happened(CycleAbandoned)) == 1
    assert talk.heard["ph1"][heard:] == [TAKE_IT_OUT] * (step == "soaking") + [STOP_HERE]


def test_S8_who_says_it_of_their_own_work_is_not_told_twice() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    heard = talk.sends("FAULT V1", after=20)

    assert STOP_HERE not in heard


def test_S14_somebody_elses_cycle_on_a_shared_phone_is_named_not_denied() -> None:
    talk = clinic()
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p1"))
    play_cycle(talk, until="soaking", phone="ph5")
    talk.let(HolderSignedIn("ph5", "p2"))

    heard = talk.sends("RINSED 88", phone="ph5", after=20)

    assert heard == ["V1 is being cleaned by Namep1. To carry on with it yourself: TAKE V1."]


@pytest.mark.parametrize("gone", [TextUndelivered("ph9", "o1", "30003"), PhoneOptedOut("ph9")])
def test_S12_a_phone_that_is_not_reached_is_not_told_so(gone: TextUndelivered) -> None:
    talk = clinic()

    talk.let(gone)

    assert talk.heard == {}


def test_S12_the_other_supervisor_is_told() -> None:
    talk = clinic()

    talk.let(TextUndelivered("ph1", "o1", "30003"))

    assert talk.last("ph9").startswith("A phone of your site cannot be reached.")


@pytest.mark.parametrize(
    ("body", "phone"),
    [
        *(("V1 DAMAGED", "ph2"), ("V1 STAINED", "ph2"), ("V1 MOVED", "ph2"), ("DAMAGED", "ph1")),
        *(("STAINED", "ph1"), ("FAULT V1", "ph1")),
    ],
)
def test_S21_what_ends_a_soak_has_it_taken_out_before_the_bath_is_anothers(
    body: str, phone: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends(body, phone=phone, after=60)

    assert talk.heard["ph1"].count(TAKE_IT_OUT) == 1
    assert TAKE_IT_OUT not in talk.heard.get("ph2", [])


@pytest.mark.parametrize("body", ["OUT", "AGAIN"])
def test_S21_whoever_has_it_in_hand_is_not_told_to_take_it_out(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends(body, after=60)

    assert TAKE_IT_OUT not in talk.heard["ph1"]

"""S4: a strip judges nothing of what has gone into its bath since it was dipped."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import StripDipped
from tests.kit.cycles import arrives, number_for, play_cycle
from tests.kit.strips import dips, first_digit, outcomes
from tests.kit.talk import Talk, clinic


def says(talk: Talk, colour: int, *, after: float = 95, phone: str = "ph1") -> None:
    """What the strip of T1 that waits shows: 0 all purple, 1 any blue."""
    talk.sends(str(int(first_digit(talk, "T1")) + colour), phone=phone, after=after)


def cold_then_dipped() -> Talk:
    """V1 was put in a cold bath; a colleague dips a strip there before it is put in again."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="immerse")
    talk.sends("IN 18", after=20)
    talk.sends("TEST T1", phone="ph2", after=20)
    dips(talk, "T1", "ph2")
    return talk


def test_S4_what_soaks_after_the_dip_is_not_cleared_by_it_though_it_was_in_before() -> None:
    talk = cold_then_dipped()
    talk.sends(f"IN {number_for(talk)} 23", after=20)
    says(talk, 0, after=70, phone="ph2")
    play_cycle(talk)
    talk.wait(minutes=30)

    talk.sends("TEST T1", phone="ph2", after=20)
    dips(talk, "T1", "ph2")
    says(talk, 1, phone="ph2")

    assert outcomes(talk)[-2:] == [("pass", ""), ("fail", "")]
    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED


def test_S4_a_strip_is_used_up_by_what_goes_in_once_more_after_it() -> None:
    talk = cold_then_dipped()
    talk.sends(f"IN {number_for(talk)} 19", after=20)
    says(talk, 0, after=70, phone="ph2")
    talk.sends("AGAIN", after=5)
    tests = len(talk.happened(StripDipped))

    play_cycle(talk, "V2", phone="ph2", until="immerse")

    assert len(talk.happened(StripDipped)) == tests + 1


@pytest.mark.parametrize("meanwhile", ["IN T1 23", "TOPPED"])
def test_S4_a_dip_that_a_carrier_brings_late_judges_nothing_of_what_has_gone_in_since(
    meanwhile: str,
) -> None:
    talk = clinic(devices=("V1", "V2"))
    if meanwhile == "TOPPED":
        talk.sends("POUR", phone="ph2")
    else:
        play_cycle(talk, "V2", phone="ph2", until="wipe_water")
    play_cycle(talk, until="dip")
    sent = talk.now + timedelta(seconds=5)
    talk.sends(meanwhile, phone="ph2", after=12)
    talk.wait(seconds=10)

    arrives(talk, "DIP T1", sent)
    says(talk, 0, after=92)

    assert outcomes(talk)[-1] == ("no_result", "dip_carried_late")
    assert talk.clinic.containers["T1"].passed is None

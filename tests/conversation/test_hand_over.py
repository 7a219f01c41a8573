"""TAKE: whoever takes over is asked once, and has what the bell said (S2, S3, S12)."""

import pytest

from flows.parts.clinic import Level, Role, Standing
from flows.parts.events import PersonEnrolled
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import clinic


def test_S3_taken_twice_it_is_asked_once_whether_it_stayed_in() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("TAKE V1", after=20)
    talk.sends("TAKE V1", after=5)

    talk.sends("stayed", after=20)

    assert step_of(talk) == "soaking"


def test_S2_whoever_takes_over_after_the_bell_is_told_its_number() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    wait_for_bell(talk)
    talk.sends("TAKE V1", phone="ph2", after=60)
    talk.sends("ready", phone="ph2", after=20)

    (said,) = talk.sends("stayed", phone="ph2", after=20)

    number = cycle_of(talk).contact.number  # type: ignore[union-attr]
    assert said == f"V1: soak complete. Clean gloves on, take it out. Then reply OUT {number}"


def test_S2_whoever_takes_over_before_the_bell_is_not() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("TAKE V1", phone="ph2", after=60)
    talk.sends("ready", phone="ph2", after=20)

    (said,) = talk.sends("stayed", phone="ph2", after=20)

    assert said.startswith("V1 is in T1. The bell rings at ")


def test_S3_out_of_the_detergent_it_is_not_asked_whether_it_stayed_in_that() -> None:
    """Asked for IN on brief texts it is out, rinsed and dry, or about to be; all is asked anew."""
    talk = clinic(level=Level.BRIEF)
    talk.let(PersonEnrolled("p2", 2, Role.WORKER, Level.BRIEF, may_release=True, language="en"))
    play_cycle(talk, until="immerse")
    talk.sends("TAKE V1", phone="ph2", after=60)

    (said,) = talk.sends("ready", phone="ph2", after=20)
    play_cycle(talk, phone="ph2")

    assert said.startswith("V1: out; rinse 3x, dry.")
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("step", ["await_detergent", "dip", "read"])
def test_S3_in_the_detergent_it_is(step: str) -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until=step)
    talk.sends("TAKE V1", phone="ph2", after=2)

    (said,) = talk.sends("ready", phone="ph2", after=5)

    assert said.startswith("V1 is soaking. Did it stay in")


def test_S12_left_with_bath_and_strip_in_hand_asks_what_is_open_and_not_for_the_rinse() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    talk.wait(minutes=4)

    heard = talk.sends("LEFT")

    up, asked = heard
    assert up == "V1: detergent time is up."
    assert asked.startswith("As the strip leaves the liquid, reply DIP and where it was dipped:")


def test_S12_left_at_the_rinse_asks_for_it_with_its_number() -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")

    heard = talk.sends("LEFT", after=20)

    assert heard == [
        "V1: detergent time is up.",
        f"V1: rinsed 3 times? Reply RINSED {number_for(talk)}.",
    ]

"""S21: one device per bath; a second IN voids the first soak and does not begin its own."""

import pytest

from flows.parts.events import BathChosen, CleaningRestarted, Immersed, SoakBroken
from tests.kit.cycles import cycle_of, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def two_at_one_bath(celsius: str = "23") -> Talk:
    """V1 soaks in T1; V2, which has a bath of its own, is put into T1 all the same."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    play_cycle(talk, "V2", phone="ph2", until="immerse")
    talk.sends("IN 23", phone="ph1", after=20)
    talk.sends(f"IN T1 {celsius}", phone="ph2", after=20)
    return talk


@pytest.mark.parametrize("celsius", ["23", "19"])
def test_S21_a_second_in_into_a_bath_in_use_voids_the_first_soak(celsius: str) -> None:
    talk = two_at_one_bath(celsius)

    assert [(each.device, each.because) for each in talk.happened(SoakBroken)] == [
        ("V1", "second_device")
    ]
    assert [event.device for event in talk.happened(CleaningRestarted)] == ["V1", "V2"]
    assert [event.device for event in talk.happened(Immersed)] == ["V1"]


def test_S21_both_are_told_and_both_are_cleaned_from_the_start() -> None:
    talk = two_at_one_bath()

    assert step_of(talk, "V1") == step_of(talk, "V2") == "wipe_detergent"
    assert any("another probe was put in its bath" in text for text in talk.heard["ph1"])
    assert any("one probe a bath. Take V2 out" in text for text in talk.heard["ph2"])
    assert not [text for text in talk.heard["ph2"] if "was put in its bath" in text]
    assert cycle_of(talk, "V1").contact is None
    assert talk.clinic.containers["T1"].in_use_by is None


def test_S21_so_it_is_where_both_had_been_led_to_the_same_bath() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    play_cycle(talk, "V2", phone="ph2", until="immerse")
    talk.let(BathChosen(cycle_of(talk, "V2").id, "T1"))
    talk.sends("IN 23", phone="ph1", after=20)

    talk.sends("IN 23", phone="ph2", after=20)

    assert [event.device for event in talk.happened(SoakBroken)] == ["V1"]
    assert [event.device for event in talk.happened(CleaningRestarted)] == ["V1", "V2"]


def test_S21_a_bath_in_use_is_not_offered() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")

    play_cycle(talk, "V2", phone="ph2", until="fill")

    assert step_of(talk, "V2") == "fill"


def test_S21_the_same_device_may_go_back_into_its_own_bath() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends("IN 23", after=60)

    assert [event.device for event in talk.happened(Immersed)] == ["V1", "V1"]
    assert step_of(talk) == "soaking"


def test_S21_the_bath_named_may_be_its_own() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    talk.sends("IN T1 23", after=20)

    assert step_of(talk) == "soaking"


def test_S4_a_device_in_the_bath_of_another_is_taken_out_again() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    play_cycle(talk, "V2", phone="ph2", until="immerse")

    heard = talk.sends("IN T2 23", after=20)

    assert heard[0].startswith("T2 was made ready for V2")
    assert talk.happened(Immersed) == []

"""S21: the bot never leads two devices into one bath."""

from flows.parts.events import BathChosen, SoakBroken
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

UP_TO_THE_BATH = (
    ("READY", 2),
    ("SOUND", 2),
    ("SOAPED", 6),
    ("WATER", 6),
    ("WET", 6),
    ("WIPED", 61),
    ("MIXED", 4),
    ("UNDER", 11),
)


def _up_to_the_bath(talk: Talk, device: str, phone: str) -> None:
    talk.sends(f"CLEAN {device}", phone=phone)
    for body, after in UP_TO_THE_BATH:
        talk.sends(body, phone=phone, after=after)


def test_S21_a_bath_that_is_being_tested_for_one_device_is_not_offered_to_another() -> None:
    talk = clinic(devices=("V1", "V2"))
    _up_to_the_bath(talk, "V1", "ph1")

    _up_to_the_bath(talk, "V2", "ph2")

    assert "in T1" in talk.last("ph1")
    assert "No bath is ready" in talk.last("ph2")


def test_S21_a_bath_that_one_cycle_has_chosen_is_not_offered_to_another() -> None:
    talk = clinic(devices=("V1", "V2"))
    _up_to_the_bath(talk, "V1", "ph1")
    talk.sends("DIP T1", after=3)
    talk.sends("1", after=92)

    _up_to_the_bath(talk, "V2", "ph2")

    assert talk.happened(BathChosen) == [BathChosen(talk.clinic.devices["V1"].cycle or "", "T1")]
    assert "No bath is ready" in talk.last("ph2")


def test_S21_a_strip_dipped_in_a_bath_that_is_spoken_for_is_turned_away() -> None:
    talk = clinic(devices=("V1", "V2"))
    _up_to_the_bath(talk, "V1", "ph1")
    _up_to_the_bath(talk, "V2", "ph2")
    talk.sends("POURED", phone="ph2", after=10)

    heard = talk.sends("DIP T1", phone="ph2", after=5)

    assert heard == ["T1 is taken for V1. One probe a bath: dip in T2 instead."]


def test_S21_once_the_first_is_out_the_bath_is_offered_again() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")

    _up_to_the_bath(talk, "V2", "ph2")

    assert "in T1" in talk.last("ph2")
    assert talk.happened(SoakBroken) == []

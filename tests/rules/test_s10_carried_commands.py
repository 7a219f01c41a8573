"""S10, S16: USED and CLEAN that a carrier doubles, and brings after the next release."""

from datetime import timedelta

import pytest

from flows.answer import TextIn
from flows.parts.clinic import Standing
from flows.parts.events import CycleBegan, DeviceUsed
from flows.replies.typed import tidy
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def brought(talk: Talk, body: str, *, sent_before: timedelta) -> list[str]:
    """What ph1 hears of a text that was sent so long before it comes now."""
    before = len(talk.heard["ph1"])
    incoming = TextIn("ph1", tidy(body), talk.now - sent_before)
    talk.exchange(incoming, phone="ph1", person="p1")
    return talk.heard["ph1"][before:]


def used_and_cleaned() -> tuple[Talk, timedelta]:
    """V1 has been used on 0412 and cleaned since; and how long ago it was used."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)
    used = talk.now
    play_cycle(talk)
    return talk, talk.now - used


def patients(talk: Talk) -> list[str]:
    return [each.patient for each in talk.happened(DeviceUsed)]


def standing(talk: Talk) -> Standing:
    return talk.clinic.devices["V1"].standing


def test_S16_a_use_that_is_noted_already_ends_no_later_release() -> None:
    talk, ago = used_and_cleaned()

    (text,) = brought(talk, "USED V1 0412", sent_before=ago)

    assert text == "Noted: V1 on patient 0412."
    assert (patients(talk), standing(talk)) == (["0412"], Standing.RELEASED)


@pytest.mark.parametrize("body", ["USED V1 0413", "USED V1 0412 0413"])
def test_S7_a_use_that_is_not_noted_yet_is_a_fact_however_late(body: str) -> None:
    talk, ago = used_and_cleaned()

    brought(talk, body, sent_before=ago)

    assert patients(talk)[-1] == "0413"
    assert standing(talk) is Standing.NOT_READY


def test_S16_the_same_patient_once_more_is_another_use() -> None:
    talk, ago = used_and_cleaned()

    brought(talk, "USED V1 0412", sent_before=ago - timedelta(seconds=1))

    assert patients(talk) == ["0412", "0412"]


def test_S16_and_so_is_another_device_on_that_patient() -> None:
    talk, ago = used_and_cleaned()

    brought(talk, "USED V2 0412", sent_before=ago)

    assert [each.device for each in talk.happened(DeviceUsed)] == ["V1", "V2"]


def test_S10_a_CLEAN_of_before_its_last_cleaning_takes_no_release_away() -> None:
    talk = clinic(devices=("V1", "V2"))
    began = talk.now
    play_cycle(talk)

    (text,) = brought(talk, "CLEAN V1", sent_before=talk.now - began)

    assert text.startswith("That was sent before V1 was last begun")
    assert standing(talk) is Standing.RELEASED
    assert len(talk.happened(CycleBegan)) == 1


@pytest.mark.parametrize("body", ["CLEAN V2", "CLEAN V1"])
def test_S10_any_other_CLEAN_begins_one(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    began = talk.now
    play_cycle(talk)
    late = talk.now - began if body == "CLEAN V2" else timedelta(seconds=5)

    brought(talk, body, sent_before=late)

    assert len(talk.happened(CycleBegan)) == 2

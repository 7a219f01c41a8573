"""S15, S16: opaque ids and patient codes are in entries; names, numbers and free text are not."""

import json

import pytest

from flows.parts.clinic import Clinic
from flows.parts.encoding import decode, encode
from flows.parts.events import CleaningRestarted, DeviceUsed, FreeText
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, Talk, clinic


def written(talk: Talk) -> str:
    return repr([encode(each) for each in talk.entries])


def test_S15_what_was_typed_freely_is_in_no_entry() -> None:
    talk = clinic()
    play_cycle(talk)

    talk.sends("USED V1 Wanjiru Kamau", after=60)
    talk.sends("Wanjiru", after=60)
    talk.sends("FAULT V1 Otieno dropped it", after=60)

    assert "WANJIRU" not in written(talk).upper()
    assert "OTIENO" not in written(talk).upper()
    assert len(talk.happened(FreeText)) == 2


def test_S15_equal_words_have_unequal_digests() -> None:
    talk = clinic()

    talk.sends("FAULT V1 cracked")
    talk.sends("FAULT V1 cracked")

    first, second = talk.happened(FreeText)
    assert first.digest != second.digest


def test_S15_names_of_people_are_in_texts_only() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    (text,) = talk.sends("CLEAN V1", phone="ph2")

    assert text.startswith("V1 is being cleaned by Namep1.")
    assert "Name" not in written(talk)


def test_S16_a_use_is_keyed_by_the_sites_own_day_and_the_code() -> None:
    talk = clinic()
    talk.wait(minutes=12 * 60 - 1)  # 23:59 in Nairobi, and 20:59 in Greenwich
    talk.sends("USED V1 0412")
    talk.wait(minutes=1)

    talk.sends("USED V1 0412")

    assert [use.day.isoformat() for use in talk.happened(DeviceUsed)] == [
        "2026-03-02",
        "2026-03-03",
    ]


def test_S15_what_is_can_be_made_again_from_what_happened() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)
    play_cycle(talk, until="soaking")

    again = fold_all(Clinic(), talk.entries)

    assert again == talk.clinic


def test_S15_every_entry_of_a_clinics_day_is_written_plainly_and_read_back_the_same() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk)
    talk.sends("USED V1 Wanjiru", after=60)
    talk.sends("FAULT V1", after=60)

    for each in talk.entries:
        plain = json.loads(json.dumps(encode(each.event)))
        assert decode(type(each.event), plain) == each.event


def test_S15_what_is_now_is_written_plainly_and_read_back_the_same() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    plain = json.loads(json.dumps(encode(talk.clinic)))

    assert decode(Clinic, plain) == talk.clinic


def test_S15_a_time_without_a_zone_and_a_thing_without_a_form_are_not_written() -> None:
    with pytest.raises(ValueError, match="has no time zone"):
        encode(NINE.replace(tzinfo=None))
    with pytest.raises(TypeError, match="object cannot be kept"):
        encode(object())


def test_S15_a_field_that_came_later_is_read_as_its_default() -> None:
    old = {"cycle": "c1", "device": "V1", "because": "asked"}

    assert decode(CleaningRestarted, old) == CleaningRestarted("c1", "V1", "asked")

"""S15, S16: opaque ids and patient codes are in entries; names, numbers and free text are not."""

from flows.parts.clinic import Clinic
from flows.parts.encoding import encode
from flows.parts.events import DeviceUsed, FreeText
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


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

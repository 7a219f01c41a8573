"""S7: every fact of a text is taken, however many it holds and whatever stands first in it."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import (
    ContainerDiscarded,
    CycleBegan,
    DeviceUsed,
    FaultReported,
    Released,
    SoakBroken,
    SpillReported,
    StripRead,
    UseCodeGiven,
    UseWithoutCode,
)
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def two() -> Talk:
    """V1 is ready, V2 is not."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    return talk


def uses(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.patient) for each in talk.happened(DeviceUsed)]


def without_code(talk: Talk) -> list[str]:
    return [each.device for each in talk.happened(UseWithoutCode)]


def faults(talk: Talk) -> list[str]:
    return [each.device for each in talk.happened(FaultReported)]


# -- the name first -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    [
        *("V1 USED 0412", "V1 used on 0412", "I used V1 on 0412", "0412 USED V1", "V1 0412 used"),
        *("we have used V1 0412", "patient 0412 used V1", "used V1 on patient 0412"),
        "V1 was used on 0412",
    ],
)
def test_S7_a_use_is_taken_with_the_name_first(body: str) -> None:
    talk = two()

    (text,) = talk.sends(body, after=60)

    assert uses(talk) == [("V1", "0412")]
    assert without_code(talk) == []
    assert text.startswith("Noted: V1 on patient 0412.")


@pytest.mark.parametrize("body", ["V1 USED", "V1 was used", "I used V1", "V1 used on Amina"])
def test_S7_a_use_without_a_code_too(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert (uses(talk), without_code(talk)) == ([], ["V1"])
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


def test_S16_a_letter_is_part_of_the_code() -> None:
    talk = two()

    talk.sends("V1 used on A 0412", after=60)

    assert uses(talk) == [("V1", "A0412")]


@pytest.mark.parametrize("body", ["V1 FAULT", "there is a FAULT with V1", "V1 fault cable cut"])
def test_S13_a_fault_is_taken_with_the_name_first(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert faults(talk) == ["V1"]
    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED


@pytest.mark.parametrize(
    "body", ["V1 NOT USED", "no fault V1", "V1 used?", "clean V1 used", "USED"]
)
def test_S7_what_denies_or_asks_is_no_such_fact(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert (uses(talk), without_code(talk), faults(talk)) == ([], [], [])


def test_S7_a_use_told_in_a_cleaning_is_no_answer_to_it() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends("V1 USED 0412", after=200)

    assert uses(talk) == [("V1", "0412")]
    assert talk.happened(Released) == []


# -- several on one line ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body", ["FAULT V1 V2", "FAULT V1 and V2", "FAULT V1\nFAULT V2", "V1 FAULT\nV2 FAULT"]
)
def test_S13_a_fault_of_two_takes_both_out_of_use(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert sorted(set(faults(talk))) == ["V1", "V2"]
    assert {each.standing for each in talk.clinic.devices.values()} == {Standing.QUARANTINED}


@pytest.mark.parametrize(
    "body",
    [
        *("USED V1 0412 V2 0413", "USED V1 0412\nUSED V2 0413", "USED V1 0412, USED V2 0413"),
        *(
            "V1 USED 0412 V2 USED 0413",
            "USED V1 0412\nV2 used on 0413",
            "USED V1 0412 and V2 0413",
        ),
    ],
)
def test_S7_two_uses_are_noted_each_with_its_code(body: str) -> None:
    talk = two()

    heard = talk.sends(body, after=60)

    assert uses(talk) == [("V1", "0412"), ("V2", "0413")]
    assert without_code(talk) == []
    assert [text[:30] for text in heard] == [
        "Noted: V1 on patient 0412. It ",
        "Noted: V2 on patient 0413. It ",
    ]


def test_S16_codes_of_two_uses_are_asked_for_one_by_one() -> None:
    talk = two()

    (asked,) = talk.sends("USED V1 and V2", after=60)
    first = talk.sends("0412", after=20)
    (noted, *_) = talk.sends("0413", after=20)

    assert without_code(talk) == ["V1", "V2"]
    assert asked.startswith("V1 noted as used. Which patient code")
    assert first[-1].startswith("V2 noted as used. Which patient code")
    assert noted.startswith("Noted: V2 on patient 0413.")
    given = [(each.device, each.patient) for each in talk.happened(UseCodeGiven)]
    assert given == [("V1", "0412"), ("V2", "0413")]
    assert len({each.use for each in talk.happened(UseCodeGiven)}) == 2


def test_S16_whose_code_it_is_is_not_guessed() -> None:
    talk = two()

    talk.sends("USED V1 V2 0412", after=60)

    assert (uses(talk), without_code(talk)) == ([], ["V1", "V2"])


def test_S16_a_second_name_that_may_be_a_code_is_one() -> None:
    talk = clinic(devices=("V1", "P102"))

    talk.sends("USED V1 P102", after=60)

    assert uses(talk) == [("V1", "P102")]


@pytest.mark.parametrize(
    "body",
    [
        *("USED V1 0412 FAULT V1", "USED V1 0412 FAULT", "USED V1 0412\nFAULT V1"),
        *("FAULT V1 USED V1 0412", "V1 FAULT\nV1 USED 0412", "STATE\nFAULT V1\nUSED V1 0412"),
    ],
)
def test_S7_a_use_and_a_fault_are_both_taken(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert (uses(talk), faults(talk)) == ([("V1", "0412")], ["V1"])
    assert [each.ready for each in talk.happened(DeviceUsed)] == [True]


def test_S7_damage_beside_a_use_is_asked_about() -> None:
    talk = two()

    heard = talk.sends("USED V1 0412 cracked", after=60)

    assert (uses(talk), without_code(talk), faults(talk)) == ([("V1", "0412")], [], [])
    assert heard[-1] == "V1: the use is noted. Damaged too? FAULT V1."


def test_S13_damage_told_as_such_beside_a_use_is_taken() -> None:
    talk = two()

    talk.sends("USED V1 0412 damaged", after=60)

    assert (uses(talk), faults(talk)) == ([("V1", "0412")], ["V1"])


@pytest.mark.parametrize(
    "body", ["V1 V2 damaged", "V1 and V2 damaged", "V1 damaged V2 damaged", "V1, V2 are damaged"]
)
def test_S13_damage_told_of_two_is_of_both(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert faults(talk) == ["V1", "V2"]


@pytest.mark.parametrize("body", ["V1 V2", "V1 in T1 V2", "V1 touched V2"])
def test_S10_what_is_not_clearly_of_both_is_not_taken_as_such(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    assert faults(talk) == []


@pytest.mark.parametrize(
    "body", ["T1 DISCARD", "T1 B1 discard", "DISCARD T1", "DISCARD T1\nDISCARD B1"]
)
def test_S7_what_was_thrown_away_is_taken_with_its_tag_first(body: str) -> None:
    talk = two()

    talk.sends(body, after=60)

    gone = [each.tag for each in talk.happened(ContainerDiscarded)]
    assert gone == (["T1", "B1"] if "B1" in body.upper() else ["T1"])


def test_S13_damage_told_beside_a_spill_is_heard() -> None:
    talk = two()

    heard = talk.sends("SPILL V1 damaged", after=60)

    assert heard[0].startswith("Eyes: rinse")
    assert (len(talk.happened(SpillReported)), faults(talk)) == (1, ["V1"])


def test_S7_words_behind_a_fault_are_no_use() -> None:
    talk = two()

    talk.sends("FAULT V1 cable used too hard", after=60)

    assert (uses(talk), without_code(talk), faults(talk)) == ([], [], ["V1"])


def test_S7_a_use_of_an_unknown_device_takes_none_with_it() -> None:
    talk = two()

    talk.sends("USED V9 0411\nUSED V1 0412", after=60)

    assert uses(talk) == [("V1", "0412")]


# -- several lines ------------------------------------------------------------------------------


@pytest.mark.parametrize("above", ["LEFT", "STATE", "MENU", "CLEAN V2", "CHECK V1"])
def test_S7_what_stands_below_a_command_is_heard_too(above: str) -> None:
    talk = two()

    talk.sends(f"{above}\nV1 damaged\nUSED V2 0413", after=60)

    assert (uses(talk), faults(talk)) == ([("V2", "0413")], ["V1"])


def test_S7_two_cleanings_begun_in_one_text_are_two() -> None:
    talk = two()

    talk.sends("CLEAN V1\nCLEAN V2", after=60)

    assert [each.device for each in talk.happened(CycleBegan)] == ["V1", "V1", "V2"]
    assert len({each.cycle for each in talk.clinic.threads.values()}) == 2


def test_S20_a_spill_below_is_answered() -> None:
    talk = two()

    talk.sends("USED V1 0412\nSPILL", after=60)

    assert len(talk.happened(SpillReported)) == 1


def test_a_line_that_begins_nothing_belongs_to_what_stands_above_it() -> None:
    talk = two()

    talk.sends("USED V1\n0412\n--\nSister Ada", after=60)

    assert uses(talk) == [("V1", "0412")]


def test_S3_what_is_told_beside_an_answer_counts_before_it() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends("covered\nFAULT V1", after=200)

    assert talk.happened(Released) == []
    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED


def test_S10_an_answer_is_heard_where_its_question_still_stands() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")
    talk.wait(seconds=95)

    talk.sends("1\nFAULT V2")

    assert faults(talk) == ["V2"]
    assert [each.outcome for each in talk.happened(StripRead)] == ["pass"]


def test_S3_a_soak_is_broken_by_what_stands_below() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends("LEFT\nV1 OUT", after=60)

    assert len(talk.happened(SoakBroken)) == 1

"""S7, S16: a use is noted by whatever its device is called, whatever stands around its code."""

import pytest

from flows.parts.events import DeviceUsed, FaultReported, UseCodeGiven, UseWithoutCode
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def released(*labels: str) -> Talk:
    talk = clinic(devices=labels or ("V1", "V2"))
    play_cycle(talk)
    talk.wait(seconds=200)
    return talk


def code_of(talk: Talk) -> str:
    release = talk.clinic.devices["V1"].release
    assert release is not None
    return release.code


@pytest.mark.parametrize(
    "body",
    [
        *("USED {code} 0412", "used v 1 0412", "used probe 1 0412", "{code} used 0412"),
        *("0412 USED {code}", "USED {code}\n0412", "used v-1 0412"),
    ],
)
def test_S7_a_use_names_its_device_by_all_that_stands_on_its_tag(body: str) -> None:
    talk = released()

    talk.sends(body.format(code=code_of(talk)))

    assert [(each.device, each.patient) for each in talk.happened(DeviceUsed)] == [("V1", "0412")]


@pytest.mark.parametrize("body", ["FAULT {code}", "fault v 1", "FAULT probe 1 cracked"])
def test_S13_so_does_a_fault(body: str) -> None:
    talk = released()

    talk.sends(body.format(code=code_of(talk)))

    assert [each.device for each in talk.happened(FaultReported)] == ["V1"]


@pytest.mark.parametrize("body", ["CHECK V 1", "check probe 1", "CHECK {code}"])
def test_S1_so_does_CHECK(body: str) -> None:
    talk = released()

    (text,) = talk.sends(body.format(code=code_of(talk)))

    assert text.startswith("V1 READY UNTIL")


def test_S1_CHECK_of_an_old_code_is_still_not_ready() -> None:
    talk = released("V1")
    old = code_of(talk)
    talk.sends("USED V1 0412", after=60)
    talk.wait(seconds=60)
    play_cycle(talk)

    (text,) = talk.sends(f"CHECK {old}", after=200)

    assert text.startswith("NOT READY: that is not the code that V1 has now.")


def test_S7_a_slip_in_the_code_names_no_device() -> None:
    talk = released()
    code = code_of(talk)

    (text,) = talk.sends(f"USED {code[:-1]}{'3' if code[-1] != '3' else '4'} 0412")

    assert text.startswith("Which device? Here: V1, V2.")
    assert talk.happened(DeviceUsed) == []


def test_S7_a_figure_that_may_be_of_two_names_none() -> None:
    talk = released("V1", "W1")

    (text,) = talk.sends("USED PROBE 1 0412")

    assert text.startswith("Which device? Here: V1, W1.")


@pytest.mark.parametrize("before", ["no", "no.", "No:", "pt", "pat", "ID", "nr", "patient no"])
def test_S16_what_stands_before_a_code_is_no_part_of_it(before: str) -> None:
    talk = released()

    talk.sends(f"USED V1 {before} 0412")

    assert [each.patient for each in talk.happened(DeviceUsed)] == ["0412"]


def test_S16_nor_where_the_code_is_asked_for() -> None:
    talk = released()
    talk.sends("USED V1")

    talk.sends("pt 0412", after=20)

    assert [each.patient for each in talk.happened(UseCodeGiven)] == ["0412"]


@pytest.mark.parametrize(
    "remark",
    [
        *(
            "all fine",
            "by Ann",
            "at 10:30",
            "room 2",
            "needs cleaning",
            "CLEAN V1",
            "at 9:05",
            "at 9",
        ),
        "by Ann at 10:30, all fine",
    ],
)
def test_S16_a_remark_behind_the_one_plain_code_leaves_it_plain(remark: str) -> None:
    talk = released()

    talk.sends(f"USED V1 0412 {remark}")

    assert [each.patient for each in talk.happened(DeviceUsed)] == ["0412"]
    assert talk.happened(UseWithoutCode) == []


@pytest.mark.parametrize(
    "behind",
    [
        *("0412 not 0413", "0412 or Mary", "0412 wrong", "0412 at 1030", "by Ann 0412"),
        *("0412 no, sorry", "Mary", "AB0412 by Ann", "0412 x maybe", "0412 B 77 by"),
    ],
)
def test_S16_where_it_may_be_another_code_it_is_asked_for(behind: str) -> None:
    talk = released()

    talk.sends(f"USED V1 {behind}")

    assert talk.happened(DeviceUsed) == []

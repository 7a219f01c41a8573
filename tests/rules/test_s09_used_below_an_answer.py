"""S7, S9: a use or a fault without a name, below an answer, is of the probe answered for."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import DeviceUsed, FaultReported, FreeText, Released, UseWithoutCode
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def at_cover() -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="cover")
    return talk


@pytest.mark.parametrize(
    "body", ["covered\nused 0412", "V1 covered\nused on 0412", "ok\ncovered\nused 0412"]
)
def test_S9_it_is_used_and_not_released_in_the_same_breath(body: str) -> None:
    talk = at_cover()

    talk.sends(body, after=200)

    assert [(each.device, each.patient) for each in talk.happened(DeviceUsed)] == [("V1", "0412")]
    assert talk.happened(Released) == []
    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED


def test_S9_its_code_is_asked_for_where_none_is_told() -> None:
    talk = at_cover()

    heard = talk.sends("covered\nused", after=200)

    assert [each.device for each in talk.happened(UseWithoutCode)] == ["V1"]
    assert talk.happened(Released) == []
    assert heard[-1].startswith("V1 noted as used. Which patient code")


@pytest.mark.parametrize("body", ["covered\nfault", "V1 covered\nfault cable cut"])
def test_S13_so_is_a_fault(body: str) -> None:
    talk = at_cover()

    talk.sends(body, after=200)

    assert [each.device for each in talk.happened(FaultReported)] == ["V1"]
    assert talk.happened(Released) == []


@pytest.mark.parametrize("body", ["thanks\nused 0412", "covered?\nused 0412", "dry\nused 0412"])
def test_S10_below_what_is_no_answer_here_its_name_is_asked(body: str) -> None:
    talk = at_cover()

    talk.sends(body, after=200)

    assert talk.happened(DeviceUsed) == []
    assert talk.happened(Released) == []


@pytest.mark.parametrize("body", ["1\nused an old strip", "1\nfault in the strip"])
def test_S4_what_is_of_the_strip_is_none_of_the_probe(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")

    talk.sends(body, after=2)

    assert (talk.happened(UseWithoutCode), talk.happened(FaultReported)) == ([], [])


def test_S7_a_tag_or_another_name_is_what_it_says() -> None:
    talk = at_cover()

    talk.sends("covered\nused V2 0412", after=200)

    assert [each.device for each in talk.happened(DeviceUsed)] == ["V2"]
    assert len(talk.happened(Released)) == 1


def test_S10_of_two_in_hand_the_answer_says_which() -> None:
    talk = at_cover()
    talk.sends("CLEAN V2", after=60)

    talk.sends("V1 covered\nused 0412", after=200)

    assert [each.device for each in talk.happened(DeviceUsed)] == ["V1"]


def test_S10_where_it_does_not_the_name_is_asked() -> None:
    talk = at_cover()
    talk.sends("CLEAN V2", after=60)

    talk.sends("covered\nused 0412", after=200)

    assert talk.happened(DeviceUsed) == []
    assert len(talk.happened(FreeText)) == 1
    assert talk.happened(Released) == []

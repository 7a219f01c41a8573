"""S7, S16: of several probes in one text each has what is told of it, and no more."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import DeviceUsed, FaultReported, UseWithoutCode
from flows.replies.by_device import without_denied
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def both_ready() -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    play_cycle(talk, "V2")
    return talk


def uses(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.patient) for each in talk.happened(DeviceUsed)]


@pytest.mark.parametrize(
    "body",
    [
        *("used V1 0412 not V2", "V1 0412 used, V2 not used", "used V1 0412 but not V2"),
        *("V1 used 0412, V2 not", "used V1 0412 instead of V2", "not V2, used V1 0412"),
    ],
)
def test_S16_a_probe_that_is_said_not_to_be_used_is_not(body: str) -> None:
    talk = both_ready()

    talk.sends(body, after=60)

    assert uses(talk) == [("V1", "0412")]
    assert talk.happened(UseWithoutCode) == []
    assert talk.clinic.devices["V2"].standing is Standing.RELEASED


@pytest.mark.parametrize("body", ["FAULT V1 not V2", "FAULT V1, V2 not", "V2 not used, fault V1"])
def test_S13_nor_is_it_put_in_quarantine(body: str) -> None:
    talk = both_ready()

    talk.sends(body, after=60)

    assert [each.device for each in talk.happened(FaultReported)] == ["V1"]


@pytest.mark.parametrize(
    "body",
    [
        "used V1 and V2 0414",
        "used V1 and V2 on 0414",
        "V1 and V2 used 0414",
        "V1 and V2 0414 used",
    ],
)
def test_S16_one_code_behind_two_that_are_joined_is_of_both(body: str) -> None:
    talk = both_ready()

    talk.sends(body, after=60)

    assert uses(talk) == [("V1", "0414"), ("V2", "0414")]
    assert talk.happened(UseWithoutCode) == []


@pytest.mark.parametrize("body", ["used V1 V2 0412", "used V1 and V2 0412 0413", "used V1 and V2"])
def test_S16_else_nobody_guesses_whose_it_is(body: str) -> None:
    talk = both_ready()

    talk.sends(body, after=60)

    assert uses(talk) == []
    assert [each.device for each in talk.happened(UseWithoutCode)] == ["V1", "V2"]


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ("USED V1 0406 and V2 stained", "stained"),
        ("V1 0406 used, V2 is stained", "stained"),
        ("USED V1 0406, V2 moved", "moved"),
        ("USED V1 0406 and V2 damaged", "fault"),
    ],
)
def test_S3_what_is_seen_of_another_is_no_use_of_it(body: str, why: str) -> None:
    talk = both_ready()

    talk.sends(body, after=60)

    assert uses(talk) == [("V1", "0406")]
    assert talk.happened(UseWithoutCode) == []
    assert talk.clinic.devices["V2"].standing is not Standing.RELEASED
    assert talk.clinic.devices["V2"].why == why


def test_S16_with_a_code_of_its_own_it_was_used_too() -> None:
    talk = both_ready()

    heard = talk.sends("USED V1 0406 V2 0407 cracked", after=60)

    assert uses(talk) == [("V1", "0406"), ("V2", "0407")]
    assert heard[-1] == "V2: the use is noted. Damaged too? FAULT V2."


@pytest.mark.parametrize("body", ["used V2 and V1 cracked", "used V2 and V1 stained"])
def test_S16_without_a_code_the_second_may_have_been_used_with_the_first(body: str) -> None:
    talk = both_ready()

    talk.sends(body, after=60)

    assert [each.device for each in talk.happened(UseWithoutCode)] == ["V2", "V1"]


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("V1 NOT V2", "V1"),
        ("V1 V2 NOT", "V1"),
        ("V1 V2 NOT USED", "V1"),
        ("V1 INSTEAD OF V2", "V1"),
        ("V1 V2 NOT READY", "V1 V2 NOT READY"),
        ("NOT SURE V1", "NOT SURE V1"),
        ("NOT", "NOT"),
        ("V1 INSTEAD", "V1 INSTEAD"),
    ],
)
def test_S7_what_denies_a_name_takes_it_away_and_nothing_else(said: str, left: str) -> None:
    assert without_denied(said.split(), {"V1", "V2"}.__contains__) == tuple(left.split())

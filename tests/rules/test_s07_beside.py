"""S7: of several things in one text each is heard, or said to be not noted."""

import pytest

from flows.parts.clinic import Fitness, Standing
from flows.parts.events import (
    ContainerCondemned,
    DeviceUsed,
    FaultReported,
    Quarantined,
    Released,
    SoakBroken,
    StripRead,
    TakenOut,
)
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic

LEFT = ("Not all of that is noted. The rest by itself, please:", "I read just ")


def at(step: str | None) -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=step)
    return talk


def condemned(talk: Talk) -> list[str]:
    return [each.tag for each in talk.happened(ContainerCondemned)]


def faults(talk: Talk) -> list[str]:
    return [each.device for each in talk.happened(FaultReported)]


def uses(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.patient) for each in talk.happened(DeviceUsed)]


@pytest.mark.parametrize(
    "body",
    [
        *("V1 OUT, TOPPED T1", "OUT, T1 was topped up", "topped T1\nV1 out", "T1 topped, V1 out"),
        *("TOPPED T1, V1 STAINED", "V1 moved because T1 was topped up"),
    ],
)
def test_S6_topping_up_is_heard_beside_what_happened_to_the_probe(body: str) -> None:
    talk = at("soaking")

    talk.sends(body, after=200)

    assert condemned(talk) == ["T1"]
    assert step_of(talk) in {"wipe_detergent", ""}  # anew, or void with its bath


@pytest.mark.parametrize(
    "body", ["OUT, it is damaged", "V1 OUT, V1 DAMAGED", "OUT and FAULT V1", "out V1 was damaged"]
)
def test_S13_why_it_came_out_is_heard_too(body: str) -> None:
    talk = at("soaking")

    talk.sends(body, after=200)

    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]


@pytest.mark.parametrize("body", ["OUT, it is cracked", "out, V1 broke"])
def test_S13_why_it_came_out_is_asked_back_where_it_is_not_clear(body: str) -> None:
    heard = at("soaking").sends(body, after=200)

    asks = ("About V1: nothing is noted yet.", "Only that V1 came out is noted.")
    assert any(each.startswith(asks) for each in heard)


@pytest.mark.parametrize(
    ("body", "device"),
    [
        ("USED V1 0412 and TOPPED T1", "V1"),
        ("TOPPED T1 and USED V1 0412", "V1"),
        ("T1 topped up and USED V2 0412", "V2"),
        ("USED V2 0412, T1 was topped up", "V2"),
    ],
)
def test_S7_a_use_and_a_topping_up_are_both_heard(body: str, device: str) -> None:
    talk = at(None)

    talk.sends(body, after=60)

    assert (uses(talk), condemned(talk)) == ([(device, "0412")], ["T1"])


@pytest.mark.parametrize("body", ["out {n}, fault T1", "out {n}\ntopped T1", "out {n} V1 damaged"])
def test_S8_bad_news_behind_an_answer_is_heard_before_it(body: str) -> None:
    talk = at("soaking")
    wait_for_bell(talk)

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert talk.happened(TakenOut) == []
    assert condemned(talk) + [each.device for each in talk.happened(Quarantined)] != []


@pytest.mark.parametrize(
    "body", ["covered, used V1 0412", "covered, fault V1", "covered, V1 was out early"]
)
def test_S8_a_cover_is_no_release_beside_what_speaks_against_it(body: str) -> None:
    talk = at("cover")

    talk.sends(body, after=200)

    assert talk.happened(Released) == []
    assert step_of(talk) != "cover"


def test_S8_what_is_only_asked_back_leaves_no_answer_beside_it() -> None:
    talk = at("cover")

    heard = talk.sends("covered, V1 fell", after=200)

    assert heard[0].startswith("About V1: nothing is noted yet.")
    assert (step_of(talk), talk.happened(Released)) == ("cover", [])


@pytest.mark.parametrize("body", ["CLEAN V2, V1 moved", "POUR B1, V1 OUT", "TEST B1, V1 out"])
def test_S3_what_stands_behind_a_command_is_heard(body: str) -> None:
    talk = at("soaking")

    talk.sends(body, after=200)

    assert [each.device for each in talk.happened(SoakBroken)] == ["V1"]


@pytest.mark.parametrize("body", ["CLEAN V1 damaged", "CHECK V1 it is damaged", "CHECK V1 broken"])
def test_S13_damage_behind_a_command_is_heard(body: str) -> None:
    talk = at(None)

    talk.sends(body, after=60)

    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED or any(
        "FAULT V1" in each for each in talk.heard["ph1"][-3:]
    )


def test_S9_a_use_told_behind_clean_is_noted() -> None:
    talk = at(None)

    talk.sends("CLEAN V1, used on 0412", after=60)

    assert uses(talk) == [("V1", "0412")]
    assert step_of(talk) == "inspect"


@pytest.mark.parametrize("body", ["TEST T1 it was topped up", "TEST T1, topped up T1"])
def test_S6_no_strip_passes_what_is_told_to_be_topped_up(body: str) -> None:
    talk = at(None)

    talk.sends(body, after=60)

    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


@pytest.mark.parametrize(
    "body",
    [
        *("CLEAN V1 after 0412", "CHECK V1, cable is cut", "CLEAN V2, cable damaged"),
        *("TEST T1 somebody poured water in", "PLAN 12, the plug is cracked"),
    ],
)
def test_S7_what_no_reader_takes_is_said_to_be_not_noted(body: str) -> None:
    heard = at(None).sends(body, after=60)

    assert any(each.startswith(LEFT) for each in heard)


def test_S7_why_it_came_out_is_said_to_be_not_noted() -> None:
    heard = at("soaking").sends("V1 OUT cable damaged", after=60)

    assert heard[0].startswith("Only that V1 came out is noted. Damaged? FAULT V1.")
    assert not any(each.startswith(LEFT) for each in heard)  # it is said once


@pytest.mark.parametrize(
    "body",
    [
        *("CLEAN V1", "clean V1 please", "CHECK V1", "test T1 again", "USED V1 0412, dirty"),
        *("FAULT V1 the plug went under and is cracked", "USED V1 0412 FAULT V1", "V1 damaged"),
        *("SPILL", "TOPPED T1 T2", "STATE T1", "PLAN 12 2", "CLEAN V1?"),
    ],
)
def test_S17_what_is_read_whole_is_answered_alone(body: str) -> None:
    heard = at(None).sends(body, after=60)

    assert not any(each.startswith(LEFT) for each in heard)


@pytest.mark.parametrize("body", ["sound, no damage", "covered, never topped T1", "no damage"])
def test_S7_what_is_denied_is_not_told(body: str) -> None:
    talk = at("cover")

    talk.sends(body, after=200)

    assert condemned(talk) + faults(talk) == []


@pytest.mark.parametrize("command", ["STATE", "LEFT", "CHECK V2"])
@pytest.mark.parametrize(("step", "body"), [("soaking", "moved"), ("cover", "STAINED")])
def test_S8_an_answer_above_a_command_is_heard(step: str, body: str, command: str) -> None:
    talk = at(step)

    talk.sends(f"{body}\n{command}", after=60)

    assert step_of(talk, "V1") != step


def test_S4_a_strip_that_failed_is_heard_above_a_command() -> None:
    talk = at("read")

    talk.sends("2\nSTATE", after=80)

    assert len(talk.happened(StripRead)) == 1


def test_S3_bad_news_on_a_line_of_its_own_is_of_what_is_asked() -> None:
    """CHECK V2 and below it STAINED: V1 is being looked at."""
    talk = at("cover")
    talk.sends("V2 STAINED", after=1)
    stands = talk.clinic.devices["V2"]

    talk.sends("CHECK V2\nSTAINED", after=60)

    assert talk.clinic.devices["V2"] == stands
    assert step_of(talk, "V1") != "cover"


def test_S20_first_aid_comes_before_what_is_told_beside_it() -> None:
    talk = at("soaking")

    heard = talk.sends("spill, topped up T1", after=60)

    assert heard[0].startswith("Eyes: rinse")
    assert condemned(talk) == ["T1"]


def test_S7_of_a_site_without_containers_none_is_named() -> None:
    talk = clinic(stocked=False)

    heard = talk.sends("CLEAN V1 after 0412", after=60)

    assert heard[0] == (
        "Not all of that is noted. The rest by itself, please: FAULT V1; USED V1 and its code; V1 "
        "MOVED."
    )

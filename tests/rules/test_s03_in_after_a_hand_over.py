"""S3, S10: IN on a phone that has led another probe too, which somebody else leads now."""

import pytest

from flows.parts.clinic import Kind, Level
from flows.parts.events import (
    CleaningRestarted,
    HolderSignedIn,
    NotUnderstood,
    PhoneEnrolled,
    Poured,
    PutInBath,
    SoakBroken,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

NUMBER = "The number in my last text is missing or another. Please send all of it once more"
C_OR_F = (
    "C or F? If it was F, that is 20.0 C. Please send all of it once more: IN 68 C, or IN 68 F."
)


def handed_over(until: str, level: Level = Level.COACH) -> Talk:
    """V2, begun on ph1, is led on ph2; V1 is at that step on ph1. T2 is poured and not tested."""
    talk = clinic(devices=("V1", "V2"), level=level)
    talk.sends("CLEAN V2")
    talk.sends("READY", after=20)
    talk.sends("TAKE V2", phone="ph2", after=20)
    play_cycle(talk, until=until)
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", talk.now, ends, "bath", topped_up=False)
    )
    return talk


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
@pytest.mark.parametrize("body", ["V1 IN T2 23", "IN T2 23 V1", "IN T9 23", "V1 IN J1 23"])
def test_S3_in_another_bath_is_noted_where_in_is_asked_for(level: Level, body: str) -> None:
    talk = handed_over("immerse", level)

    heard = talk.sends(body, after=20)
    if not talk.happened(PutInBath):
        talk.sends(body.replace("IN", f"IN {number_asked(talk)}"), after=20)

    assert not any(text.startswith("Which probe is that?") for text in heard)
    assert [each.device for each in talk.happened(PutInBath)] == ["V1"]


def number_asked(talk: Talk) -> str:
    return str(next(each.number for each in talk.clinic.threads.values() if each.phone == "ph1"))


@pytest.mark.parametrize("body", ["IN 68", "V1 IN 68"])
def test_S17_c_or_f_is_asked_as_ever(body: str) -> None:
    talk = handed_over("immerse")

    assert talk.sends(body, after=20) == [C_OR_F]
    assert len(talk.happened(NotUnderstood)) == 1


@pytest.mark.parametrize("body", ["IN 22", "V1 IN 22"])
def test_S3_what_lacks_its_number_is_asked_for_it(body: str) -> None:
    talk = handed_over("immerse")
    talk.sends("IN 15", after=20)
    assert step_of(talk) == "warm"

    (text,) = talk.sends(body, after=20)

    assert text.startswith(NUMBER)


def test_S3_named_where_it_is_not_asked_for_it_is_of_the_probe_that_is_named() -> None:
    talk = handed_over("dry")

    talk.sends("V1 IN T2 23", after=20)

    assert [each.device for each in talk.happened(CleaningRestarted)] == ["V1"]


def test_S10_on_a_shared_phone_the_good_soak_of_another_is_not_broken_by_it() -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p2"))
    play_cycle(talk, "V2", phone="ph5", until="soaking")
    talk.let(HolderSignedIn("ph5", "p1"))
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", talk.now, ends, "bath", topped_up=False)
    )
    play_cycle(talk, phone="ph5", until="immerse")

    (text,) = talk.sends("IN 68", phone="ph5", after=5)

    assert text == C_OR_F
    assert talk.happened(SoakBroken) == []

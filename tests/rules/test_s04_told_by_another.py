"""S4: IN of what another is about to put in has used the strip, whoever has told it."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import HolderSignedIn, Immersed, PhoneEnrolled, PutInBath, StripRead
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def asked_for_in(*, shared: bool) -> tuple[Talk, str]:
    """V1 is about to go into T1; the phone that somebody else tells it on."""
    talk = clinic()
    if not shared:
        play_cycle(talk, until="immerse")
        return talk, "ph2"
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p1"))
    play_cycle(talk, until="immerse", phone="ph5")
    talk.let(HolderSignedIn("ph5", "p2"))
    return talk, "ph5"


def was_in(talk: Talk) -> list[tuple[str, str, str]]:
    return [(each.device, each.bath, each.because) for each in talk.happened(PutInBath)]


@pytest.mark.parametrize("body", ["V1 in 23", "V1 in T1", "V1 is in T1", "V1 in"])
@pytest.mark.parametrize("shared", [False, True])
def test_S4_it_is_noted_and_whoever_leads_it_hears_so(*, shared: bool, body: str) -> None:
    talk, phone = asked_for_in(shared=shared)

    answer = talk.sends(body, phone=phone, after=20)

    leader = talk.heard["ph5" if shared else "ph1"]
    assert was_in(talk) == [("V1", "T1", "told")]
    assert answer[0].startswith("Noted: IN for V1. Namep1, who is cleaning it, is told now.")
    assert any(text.startswith("Namep2 has just texted IN for V1.") for text in leader[-3:])
    assert leader[-1].startswith("V1: put it in T1")
    assert step_of(talk) == "immerse"


def test_S4_whoever_held_the_phone_before_is_meant_without_the_name() -> None:
    talk, phone = asked_for_in(shared=True)

    talk.sends("in 23", phone=phone, after=20)

    assert was_in(talk) == [("V1", "T1", "told")]


@pytest.mark.parametrize("shared", [False, True])
def test_S4_begun_anew_it_has_a_strip_of_its_own(*, shared: bool) -> None:
    talk, phone = asked_for_in(shared=shared)
    talk.sends("V1 in T1 23", phone=phone, after=20)

    if shared:
        talk.let(HolderSignedIn("ph5", "p1"))
    leads = "ph5" if shared else "ph1"
    talk.sends("AGAIN", phone=leads, after=20)
    play_cycle(talk, phone=leads)

    assert len(talk.happened(StripRead)) == 2
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S5_told_by_who_leads_it_then_it_is_one_soak_on_that_strip() -> None:
    talk, phone = asked_for_in(shared=False)
    talk.sends("V1 in T1 23", phone=phone, after=20)

    play_cycle(talk)

    assert len(talk.happened(StripRead)) == len(talk.happened(Immersed)) == 1
    assert talk.clinic.containers["T1"].uses == 1


def test_S4_told_twice_it_is_noted_once() -> None:
    talk, phone = asked_for_in(shared=False)
    talk.sends("V1 in T1 23", phone=phone, after=20)

    again = talk.sends("V1 in T1 23", phone=phone, after=20)

    assert again == ["V1 is being cleaned by Namep1. To carry on with it yourself: TAKE V1."]
    assert len(was_in(talk)) == 1


@pytest.mark.parametrize("body", ["V1 in?", "V1 in 5 min", "V1 not in"])
def test_S4_what_tells_of_no_in_uses_nothing(body: str) -> None:
    talk, phone = asked_for_in(shared=False)

    talk.sends(body, phone=phone, after=20)

    assert was_in(talk) == []

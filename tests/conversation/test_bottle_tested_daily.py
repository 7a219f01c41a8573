"""Where the site tests the bottle: one that no strip may judge is not asked for for ever."""

from dataclasses import replace

import pytest

from flows.parts.clinic import Kind, Standing
from flows.parts.events import DeviceEnrolled, Immersed, StripRead
from tests.kit.cycles import cycle_of, play_cycle, step_of
from tests.kit.strips import dips, first_digit, outcomes, pour
from tests.kit.talk import Talk, clinic


def daily() -> Talk:
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    return talk


def assert_ends_in_another_bottle(talk: Talk) -> None:
    play_cycle(talk)
    (*_, read) = talk.happened(StripRead)
    assert (read.container, read.outcome) == ("B2", "pass")
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("when", ["before", "while it is asked for"])
def test_S4_a_bottle_thrown_away_leads_to_another(when: str) -> None:
    talk = daily()
    if when != "before":
        play_cycle(talk, until="dip")

    talk.sends("DISCARD B1", after=20)
    play_cycle(talk, until="fill")

    assert step_of(talk) == "fill"
    assert_ends_in_another_bottle(talk)


def test_S4_a_bottle_held_after_two_strips_without_a_result_leads_to_another() -> None:
    talk = daily()
    play_cycle(talk, until="dip")
    for _ in range(2):
        dips(talk, "B1")
        talk.sends(first_digit(talk, "B1"), after=30)

    assert outcomes(talk) == [("no_result", "early")] * 2
    assert step_of(talk) == "fill"
    assert_ends_in_another_bottle(talk)


def test_S4_a_bath_held_for_its_kin_is_freed_by_a_strip_of_its_own() -> None:
    """The bottle that it came from has passed, and says nothing of a bath that is held."""
    talk = daily()
    talk.sends("POUR J1")
    talk.sends("FILLED", after=100)
    for bottle, shows in (("B2", "2"), ("B1", "1")):
        talk.sends(f"TEST {bottle}", after=900)
        talk.sends(f"DIP {bottle}", after=20)
        talk.sends(shows, after=100)
    assert [talk.clinic.containers[tag].fitness for tag in ("B1", "T1")] == ["good", "held"]

    play_cycle(talk)

    assert [each.container for each in talk.happened(StripRead)] == ["B2", "B1", "T1"]
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


# -- for everybody ------------------------------------------------------------------------------


LED_ON = {"await_detergent", "rinse"}


def two_asked() -> Talk:
    """V1 on ph1 and V2 on ph2 are both asked for a strip of B1; T1 and T2 are poured from it."""
    talk = daily()
    talk.let(DeviceEnrolled("V2", "handheld_probe"))
    pour(talk, "T2", Kind.BATH, "B1")
    play_cycle(talk, "V1", until="dip")
    play_cycle(talk, "V2", phone="ph2", until="dip")
    return talk


def test_S4_both_may_dip_in_the_bottle_and_read_their_own() -> None:
    talk = two_asked()

    for phone in ("ph1", "ph2"):
        talk.sends("DIP B1", phone=phone, after=5)
    for phone in ("ph1", "ph2"):
        talk.sends("1", phone=phone, after=90 if phone == "ph1" else 5)

    assert outcomes(talk) == [("pass", ""), ("pass", "")]
    assert {step_of(talk, "V1"), step_of(talk, "V2")} <= LED_ON


def test_S4_a_pass_of_one_lets_the_other_on() -> None:
    talk = two_asked()
    play_cycle(talk, "V1", until="await_detergent")

    assert step_of(talk, "V2") in LED_ON
    assert "V2" in talk.last("ph2")

    play_cycle(talk, "V1")
    play_cycle(talk, "V2", phone="ph2")
    assert len({each.bath for each in talk.happened(Immersed)}) == 2
    assert [talk.clinic.devices[each].standing for each in ("V1", "V2")] == [
        Standing.RELEASED,
        Standing.RELEASED,
    ]


def test_S4_so_does_a_strip_by_itself_but_none_without_a_result() -> None:
    talk = two_asked()
    talk.sends("TEST B1", phone="ph9")
    talk.sends("DIP B1", phone="ph9", after=5)
    talk.sends("1", phone="ph9", after=20)
    before = step_of(talk, "V1"), step_of(talk, "V2")

    dips(talk, "B1", "ph9")
    talk.sends(first_digit(talk, "B1"), phone="ph9", after=95)

    assert before == ("dip", "dip")
    assert {step_of(talk, "V1"), step_of(talk, "V2")} <= LED_ON


def test_S4_a_bath_is_still_tested_for_one_only() -> None:
    talk = two_asked()
    talk.sends("DIP B1", after=5)

    talk.sends("TEST T1", phone="ph9", after=5)
    talk.sends("DIP T1", phone="ph9", after=5)
    talk.sends("1", phone="ph9", after=95)

    assert (step_of(talk, "V1"), step_of(talk, "V2")) == ("read", "dip")


def test_S21_what_was_made_ready_for_another_says_nothing_of_its_strip() -> None:
    """The bottle's pass counts all day: it is used up by nobody."""
    talk = two_asked()
    play_cycle(talk, "V1", until="immerse")
    play_cycle(talk, "V2", phone="ph2", until="immerse")
    bath = cycle_of(talk, "V1").bath

    text, *_ = talk.sends(f"IN {bath} 23", phone="ph2", after=20)

    assert text == f"{bath} was made ready for V1. Take V2 out: it must be cleaned from the start."

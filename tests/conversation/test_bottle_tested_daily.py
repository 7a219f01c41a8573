"""Where the site tests the bottle: one that no strip may judge is not asked for for ever."""

from dataclasses import replace

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import StripRead
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import dips, first_digit, outcomes
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

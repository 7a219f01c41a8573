"""A command for what is being asked already asks it again; a command aside comes back rightly."""

import re

import pytest

from flows.parts.clinic import Kind
from flows.parts.events import JugOpened, Poured, StripBottleOpened, StripDipped
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import dips, fails, first_digit, pour
from tests.kit.talk import Talk, clinic


def assert_finishes(talk: Talk) -> None:
    play_cycle(talk)
    assert re.match(r"V1 READY", talk.last())


@pytest.mark.parametrize(
    ("stocked", "until", "command"),
    [(False, "jug", "OPEN"), (False, "strips", "OPEN S"), (True, "fill", "POUR")],
)
def test_S10_a_command_for_what_is_asked_already_opens_no_second_question(
    command: str, until: str, *, stocked: bool
) -> None:
    talk = clinic(stocked=stocked, bath=False)
    play_cycle(talk, until=until)
    asked = talk.last()

    heard = talk.sends(command, after=20)

    assert heard == [asked]
    assert len(talk.clinic.threads) == 1


def test_S10_OPEN_halfway_through_the_label_begins_it_anew_and_opens_no_second_question() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug_lot")

    (heard,) = talk.sends("OPEN", after=20)

    assert "its expiry date?" in heard
    assert len(talk.clinic.threads) == 1


@pytest.mark.parametrize("until", ["dip", "read"])
def test_S10_TEST_of_the_very_bath_that_is_being_tested_dips_no_second_strip(until: str) -> None:
    talk = clinic()
    play_cycle(talk, until=until)
    dipped = len(talk.happened(StripDipped))

    talk.sends("TEST T1", after=5)

    assert len(talk.happened(StripDipped)) == dipped
    assert (len(talk.clinic.threads), step_of(talk)) == (1, until)


@pytest.mark.parametrize(
    ("command", "opened", "checked"),
    [("OPEN", JugOpened, ()), ("OPEN S", StripBottleOpened, ("good",))],
)
def test_S10_a_command_that_a_carrier_doubles_opens_one_container(
    command: str, opened: type, checked: tuple[str, ...]
) -> None:
    talk = clinic()
    before = len(talk.happened(opened))
    talk.sends(command, after=20)
    talk.sends(command, after=20)

    for answer in ("270331", "L55", *checked):
        talk.sends(answer, after=100)

    assert len(talk.happened(opened)) == before + 1
    assert not talk.clinic.threads


def test_POUR_from_another_bottle_than_the_one_that_is_asked_for_asks_for_that_one() -> None:
    talk = clinic(bath=False)
    pour(talk, "B2", Kind.BOTTLE, "J1")
    play_cycle(talk, until="fill")

    (heard,) = talk.sends("POUR B2", after=20)
    talk.sends("poured", after=20)

    assert "Pour B2 into" in heard
    assert talk.happened(Poured)[-1].source == "B2"


def test_a_bottle_filled_aside_is_poured_from_and_no_second_one_is_asked_for() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")
    talk.sends("DISCARD B1", after=20)
    talk.sends("POUR J1", after=20)

    *_, asked = talk.sends("filled", after=20)

    assert "Pour B2 into" in asked
    assert_finishes(talk)


def test_a_jug_and_a_bottle_seen_to_aside_are_not_asked_for_when_the_cycle_goes_on() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug")
    talk.sends("POUR", after=20)
    for answer in ("270331", "L66", "filled"):
        talk.sends(answer, after=20)

    *_, asked = talk.sends("poured", after=20)

    assert asked.startswith("V1: gloves on. Wipe handle and cable with OPA 0.55 % from B1")
    assert_finishes(talk)
    assert [event.tag for event in talk.happened(JugOpened)] == ["J1"]
    assert [event.tag for event in talk.happened(Poured)] == ["B1", "T1"]


def test_S4_after_a_failed_bath_the_jug_on_hold_is_offered_and_freed_by_its_own_strip() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    *_, offered = talk.sends("2", after=95)

    talk.sends("TEST J1", after=20)
    dips(talk, "J1")
    *_, asked = talk.sends(first_digit(talk, "J1"), after=95)

    assert offered.startswith("J1 is on hold: TEST J1 may clear it. Or open a new jug")
    assert asked.startswith("Pour J1 into an empty, washed, dry working bottle.")


def test_S4_a_jug_on_hold_that_fails_too_is_offered_no_more() -> None:
    talk = clinic()
    fails(talk, "T1")
    talk.sends("DISCARD B1", after=20)
    play_cycle(talk, until="jug")
    offered = talk.last()

    *_, asked = fails(talk, "J1")

    assert offered.startswith("J1 is on hold: TEST J1 may clear it. Or open a new jug")
    assert asked.startswith("New jug of OPA 0.55 %, opened now")
    assert_finishes(talk)

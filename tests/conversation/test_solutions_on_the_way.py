"""Jugs, bottles and baths that change while somebody is at them (S4, S5, S6)."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Fitness, Kind
from flows.parts.events import JugOpened, Poured
from tests.kit.cycles import cycle_of, play_cycle, wait_for_bell
from tests.kit.strips import fails, passes, pour
from tests.kit.talk import Talk, clinic


def poured(talk: Talk) -> list[str]:
    return [event.source for event in talk.happened(Poured)]


def test_S6_a_pour_is_recorded_from_what_was_named_or_not_at_all() -> None:
    talk = clinic(bath=False)
    pour(talk, "B2", Kind.BOTTLE, "J1")
    play_cycle(talk, until="fill")
    before = poured(talk)
    talk.sends("DISCARD B1", phone="ph2", after=10)

    gone, asked = talk.sends("poured", after=20)

    assert poured(talk) == before
    assert gone.startswith("B1 is not for use any more, nor is what was poured from it.")
    assert asked.startswith("No bath is ready. Pour B2")


def test_S4_a_strip_dipped_while_a_device_soaks_is_no_pass_for_the_next() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    cycle = cycle_of(talk).id

    passes(talk, "T1")

    bath = talk.clinic.containers["T1"]
    assert bath.passed is not None
    assert bath.passed.used_by == cycle
    assert bath.cycles == (cycle,)


def test_S4_kin_is_held_though_the_jug_itself_has_been_thrown_away() -> None:
    talk = clinic()
    pour(talk, "B2", Kind.BOTTLE, "J1")
    talk.sends("DISCARD J1", after=20)

    fails(talk, "B1")

    assert talk.clinic.containers["B2"].fitness is Fitness.HELD


def test_S5_a_jug_thrown_away_is_forgotten_with_the_last_that_came_from_it() -> None:
    talk = clinic()

    for tag in ("J1", "B1", "T1"):
        talk.sends(f"DISCARD {tag}", after=20)

    assert talk.clinic.containers == {}


def test_S5_when_all_tags_are_given_the_one_thrown_away_first_is_given_again() -> None:
    talk = clinic(bath=False)
    for number in range(1, 100):
        pour(talk, f"T{number}", Kind.BATH, "B1")
    for tag in ("T7", "T5"):
        talk.sends(f"DISCARD {tag}", after=20)
        talk.wait(minutes=1)

    talk.sends("POUR", after=20)
    talk.sends("poured", after=20)

    assert talk.happened(Poured)[-1].tag == "T5"
    assert talk.clinic.containers["T5"].fitness is Fitness.GOOD


def test_S5_when_all_tags_are_in_use_the_next_number_is_given() -> None:
    talk = clinic(bath=False)
    for number in range(1, 100):
        pour(talk, f"T{number}", Kind.BATH, "B1")

    talk.sends("POUR", after=20)
    talk.sends("poured", after=20)

    assert talk.happened(Poured)[-1].tag == "T100"


def test_S5_a_bath_that_ran_out_during_the_soak_is_named_as_the_reason() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    wait_for_bell(talk)
    containers = talk.clinic.containers
    old = replace(containers["T1"], discard_by=talk.now)
    talk.clinic = replace(talk.clinic, containers={**containers, "T1": old})

    why, asked = talk.sends(f"OUT {talk.number()}", after=5)

    assert why == (
        "T1 ran out of date during this soak: it does not count. V1 must be cleaned again, "
        "then soaked in another bath."
    )
    assert asked.startswith("V1: wipe handle and cable")


@pytest.mark.parametrize("body", ["OPEN", "OPEN S", "POUR", "POUR J1", "TEST T1", "CLEAN V1"])
def test_a_site_without_devices_is_told_so(body: str) -> None:
    talk = clinic(devices=())

    (said,) = talk.sends(body)

    assert said == "No device is enrolled here yet. Please ask your contact."
    assert len(talk.happened(JugOpened)) == 1  # the one that was stocked


def test_S5_what_is_named_to_be_poured_from_is_never_replaced_by_another() -> None:
    talk = clinic(stocked=False)
    for tag, days in (("J1", -1), ("J2", 7)):
        ends = talk.now + timedelta(days=days)
        opened = JugOpened(tag, "opa_055", tag, date(2027, 3, 31), talk.now, ends, "jug_open_life")
        talk.let(opened)

    over, good = talk.sends("POUR J1"), talk.sends("POUR J2", after=20)

    assert over == ["J1 is not for use: STATE J1 says why. POUR alone takes what is in date."]
    assert good[0].startswith("Pour J2 into")

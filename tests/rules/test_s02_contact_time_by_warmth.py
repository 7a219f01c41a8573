"""S2: the contact time that goes with the bath's warmth, wherever a soak is timed and judged.

The table here is invented: none for a soak by hand was found published. What is published for
25 C is a machine's, and shortens nothing.
"""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import (
    BathTooCold,
    ClockStepped,
    CycleAbandoned,
    Immersed,
    SoakBroken,
    TakenOut,
)
from flows.walk.likeness import likeness
from flows.walk.room import Room
from tests.kit.cycles import (
    arrives,
    cycle_of,
    falsify,
    number_for,
    play_cycle,
    step_of,
    wait_for_bell,
)
from tests.kit.talk import Talk, clinic


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def with_table(level: Level = Level.COACH) -> Talk:
    """45 min at 20 C, 20 min from 25 C on."""
    talk = clinic(level=level)
    chemistry = replace(
        talk.protocol.chemistry,
        contact_time=minutes(45),
        contact_time_warmer=((Decimal(25), minutes(20)),),
    )
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    return talk


def soaking(celsius: str) -> Talk:
    talk = with_table()
    play_cycle(talk, until="soaking", celsius=celsius)
    return talk


def at_the_bell(celsius: str) -> Talk:
    talk = soaking(celsius)
    wait_for_bell(talk)
    return talk


def breaks(talk: Talk) -> list[tuple[str, timedelta]]:
    return [(event.because, event.lasted) for event in talk.happened(SoakBroken)]


# -- at IN --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("celsius", "bell"), [("20.0", 46), ("24.9", 46), ("25.0", 21), ("77 F", 21), ("30", 21)]
)
def test_S2_the_bell_is_set_by_the_warmth_of_the_bath_and_nothing_is_rounded_up(
    celsius: str, bell: int
) -> None:
    talk = soaking(celsius)

    soak = cycle_of(talk).contact

    assert soak is not None
    assert soak.due - soak.began == minutes(bell)


@pytest.mark.parametrize("celsius", ["20", "25", "30"])
def test_S2_a_warm_bath_does_not_shorten_the_published_soak_by_hand(celsius: str) -> None:
    """OPA 0.55 %: 12 min at 20 C; the 5 min at 25 C are a machine's.

    Source: CDC/HICPAC, Guideline for Disinfection and Sterilization, 2008, Table 4.
    """
    talk = clinic()
    play_cycle(talk, until="soaking", celsius=celsius)
    (immersed,) = talk.happened(Immersed)

    talk.wait(minutes=11.9)
    early = talk.sends("LEFT")

    assert immersed.due - cycle_of(talk).contact.began == minutes(12) + minutes(1)  # type: ignore[union-attr]
    assert early == ["V1: 66 s left, until 12:22."]


def test_S17_below_the_table_no_time_makes_a_bath_good() -> None:
    talk = with_table()
    play_cycle(talk, until="immerse")

    talk.sends("IN 19.9", after=20)

    assert step_of(talk) == "warm"
    assert talk.happened(Immersed) == []


def test_S2_left_and_a_break_count_by_the_warmth_at_in() -> None:
    talk = soaking("25")
    talk.wait(minutes=10)

    left = talk.sends("LEFT")
    (text,) = talk.sends("OUT", after=60)

    assert left[0].startswith("V1: 11 min left, until ")
    assert text.startswith("V1 came out 10 min too early.")


def test_S3_put_in_again_it_soaks_by_the_warmth_of_then() -> None:
    talk = soaking("25")

    talk.sends("IN 24", after=300)

    soak = cycle_of(talk).contact
    assert breaks(talk) == [("second_in", minutes(5))]
    assert soak is not None
    assert soak.due - soak.began == minutes(46)


# -- at OUT -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("celsius", "asked"), [("25", True), ("27.0", True), ("27.1", False)])
def test_S1_near_the_warmth_that_its_time_hangs_on_the_bath_is_measured_again(
    celsius: str, *, asked: bool
) -> None:
    talk = at_the_bell(celsius)

    talk.sends(f"OUT {number_for(talk)}", after=5)

    assert (step_of(talk) == "soaking") is asked
    assert ("measure the bath once more" in talk.last()) is asked


@pytest.mark.parametrize("celsius", ["24.9", "20", "76.9 F"])
def test_S2_a_bath_colder_at_out_owes_the_longer_time_so_the_soak_starts_again(
    celsius: str,
) -> None:
    talk = at_the_bell("25")

    said, asked = talk.sends(f"OUT {number_for(talk)} {celsius}", after=5)

    (cold,) = talk.happened(BathTooCold)
    assert breaks(talk) == [("cooled", minutes(21) + timedelta(seconds=5))]
    assert (cold.celsius < 25, cold.limit) == (True, Decimal(25))
    assert said.startswith("T1 has cooled to 2")
    assert "where a soak takes 45 min: this one of V1 is too short" in said
    assert asked.startswith("V1 came out 24 min 55 s too early.")


def test_S2_back_in_the_colder_bath_it_soaks_for_the_longer_time_and_is_released() -> None:
    talk = at_the_bell("25")
    talk.sends(f"OUT {number_for(talk)} 24", after=5)

    talk.sends(f"IN {number_for(talk)} 24", after=20)
    soak = cycle_of(talk).contact
    play_cycle(talk, celsius="24")

    assert soak is not None
    assert soak.due - soak.began == minutes(46)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S2_colder_at_out_but_in_for_the_longer_time_it_is_complete() -> None:
    talk = at_the_bell("25")
    talk.wait(minutes=24)

    talk.sends(f"OUT {number_for(talk)} 24")

    (out,) = talk.happened(TakenOut)
    assert (out.lasted, out.celsius) == (minutes(45), Decimal(24))
    assert step_of(talk) == "final_rinse"


def test_S2_warmer_at_out_than_at_in_earns_nothing() -> None:
    talk = at_the_bell("20")
    soak = cycle_of(talk).contact
    assert soak is not None

    arrives(talk, f"OUT {number_for(talk)} 26", soak.began + minutes(44))

    assert breaks(talk) == [("too_short", minutes(44))]


def out_without_its_warmth(talk: Talk) -> None:
    talk.sends(f"OUT {number_for(talk)}", after=5)


def test_S2_what_is_out_soaks_no_longer_while_its_bath_is_measured() -> None:
    talk = at_the_bell("25")
    out_without_its_warmth(talk)

    doubled = talk.sends(f"OUT {number_for(talk)}", after=60)
    talk.sends("hm", after=60)
    asked = talk.last()
    talk.sends(f"OUT {number_for(talk)} 24", after=600)

    assert doubled == [asked]
    assert asked.startswith("V1: measure the bath once more")
    assert breaks(talk) == [("cooled", minutes(21) + timedelta(seconds=5))]


def test_S2_nor_does_a_jump_of_the_clock_give_it_time() -> None:
    talk = at_the_bell("25")
    out_without_its_warmth(talk)
    talk.now += minutes(30)
    talk.let(ClockStepped(minutes(30)))

    talk.sends(f"OUT {number_for(talk)} 24", after=5)

    assert breaks(talk) == [("cooled", minutes(21) + timedelta(seconds=5))]


def test_S2_what_came_out_of_an_earlier_soak_does_not_end_the_next() -> None:
    talk = at_the_bell("25")
    out_without_its_warmth(talk)
    talk.sends(f"OUT {number_for(talk)} 24", after=5)

    talk.sends(f"IN {number_for(talk)} 25", after=20)
    wait_for_bell(talk)
    talk.sends(f"OUT {number_for(talk)} 25", after=5)

    (out,) = talk.happened(TakenOut)
    assert out.lasted == minutes(21) + timedelta(seconds=5)
    assert step_of(talk) == "final_rinse"


# -- release ------------------------------------------------------------------------------------


@pytest.mark.parametrize("level", list(Level))
def test_S1_a_whole_cycle_in_a_warm_bath_ends_in_a_release(level: Level) -> None:
    talk = with_table(level)

    play_cycle(talk, celsius="25.5")

    (out,) = talk.happened(TakenOut)
    assert out.lasted < minutes(45)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("kind", [Immersed, TakenOut])
def test_S1_a_release_asks_for_the_time_of_the_coldest_reading(kind: type) -> None:
    talk = with_table()
    play_cycle(talk, until="cover", celsius="25.5")
    falsify(talk, kind, celsius=Decimal(24))

    play_cycle(talk)

    assert talk.happened(CycleAbandoned)[0].because == "not_proved:contact_soak"


def test_S1_a_table_dropped_meanwhile_is_not_soaked_by() -> None:
    talk = with_table()
    play_cycle(talk, until="cover", celsius="25.5")
    without = replace(talk.protocol.chemistry, contact_time_warmer=None)
    talk.protocol = replace(talk.protocol, chemistry=without)

    play_cycle(talk)

    assert talk.happened(CycleAbandoned)[0].because == "not_todays:opa_055.contact_time_warmer"


# -- the walk -----------------------------------------------------------------------------------


def test_moments_that_owe_another_time_are_not_alike() -> None:
    colder, warm, warmer = (
        likeness(Room(talk.now, talk.protocol, talk.clinic, tuple(talk.entries)))
        for talk in (soaking("24.9"), soaking("27.5"), soaking("28"))
    )

    assert warm == warmer
    assert colder != warm

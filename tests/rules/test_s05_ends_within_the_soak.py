"""S5: what ends before a soak in it would be over is not led to, and nobody is left to wonder why.

OPA 0.55 %: 12 min at 20 C, CDC/HICPAC 2008, Table 4, and a minute until the bell; detergent 2 min
and 15 s until its bell. Its strip is read 91 s after the dip: product instructions, from memory.
Two minutes to rinse, dry and put it in: common practice, none published.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from flows.parts.clinic import Fitness, Kind, Level, Thread
from flows.parts.events import (
    CycleAbandoned,
    Immersed,
    JugOpened,
    Poured,
    SoakBroken,
    StripDipped,
)
from flows.protocols.model import Selection
from flows.rules.soak import soonest_in
from tests.kit.cycles import cycle_of, play_cycle, step_of, thread_of
from tests.kit.strips import passes, pour
from tests.kit.talk import Talk, clinic

MIDNIGHT = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
"""At the site, three hours ahead."""

SOAK = timedelta(minutes=13)
STRIP = timedelta(seconds=91)
DETERGENT = timedelta(seconds=135)
TO_BATH = timedelta(minutes=2)
TO_POUR = timedelta(minutes=2)
A_SECOND = timedelta(seconds=1)

TOO_SHORT = (
    "T1 is good to the end of 2 Mar 2026 only: too short for a soak of V1. Another bath is needed."
)
ANOTHER_IS_NEEDED = " only: too short for a soak of V1. Another bath is needed."
NEXT_WEEK = MIDNIGHT + timedelta(days=7)
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def ends(talk: Talk, tag: str, at: datetime) -> None:
    container = replace(talk.clinic.containers[tag], discard_by=at)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, tag: container})


def evening(at: datetime, level: Level = Level.COACH) -> Talk:
    """A clinic whose bath ends at midnight, at that time of the evening."""
    talk = clinic(level=level)
    talk.now = at
    ends(talk, "T1", MIDNIGHT)
    return talk


def under(talk: Talk, at: datetime) -> list[str]:
    """The probe is said to be in the detergent at that very moment; what is heard."""
    play_cycle(talk, until="under")
    talk.wait(seconds=(at - talk.now).total_seconds())
    return talk.sends("UNDER")


def thread(talk: Talk) -> Thread:
    found = thread_of(talk, "V1")
    assert found
    return found


# -- when it is chosen --------------------------------------------------------------------------


@pytest.mark.parametrize("level", list(Level))
def test_S5_a_bath_that_ends_within_the_soak_is_named_before_another_is_asked_for(
    level: Level,
) -> None:
    talk = evening(MIDNIGHT - timedelta(minutes=20), level)

    why, asked = under(talk, MIDNIGHT - timedelta(minutes=14))

    assert why == TOO_SHORT
    assert asked.startswith("No bath is ready. Pour B1 into an empty, washed, dry tub")
    assert talk.happened(StripDipped) == []


@pytest.mark.parametrize(("more", "taken"), [(timedelta(0), False), (A_SECOND, True)])
def test_S5_detergent_rinsing_and_drying_are_reckoned_with(
    more: timedelta, *, taken: bool
) -> None:
    talk = evening(MIDNIGHT - timedelta(minutes=30))

    heard = under(talk, MIDNIGHT - DETERGENT - TO_BATH - SOAK - more)

    assert (TOO_SHORT in heard) is not taken
    assert step_of(talk) == ("dip" if taken else "fill")


@pytest.mark.parametrize(
    ("wait", "passed", "begins"),
    [
        (timedelta(0), True, DETERGENT + TO_BATH),
        (timedelta(0), False, DETERGENT + TO_BATH),
        (timedelta(minutes=1), False, timedelta(minutes=1) + STRIP + TO_BATH),
        (timedelta(minutes=1), True, DETERGENT + TO_BATH),
    ],
)
def test_S5_the_strip_is_read_while_the_probe_is_in_the_detergent(
    wait: timedelta, begins: timedelta, *, passed: bool
) -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    at = talk.now

    found = soonest_in(cycle_of(talk), talk.protocol, at + wait, passed=passed)

    assert found - at == begins


def test_S5_with_another_bath_at_hand_there_is_no_word_about_the_one_that_ends() -> None:
    talk = evening(MIDNIGHT - timedelta(minutes=20))
    pour(talk, "T2", Kind.BATH, "B1")
    ends(talk, "T2", MIDNIGHT + timedelta(days=7))

    (asked,) = under(talk, MIDNIGHT - timedelta(minutes=14))

    assert "Dip a strip in T2" in asked


def test_S5_unless_its_strip_has_passed() -> None:
    talk = evening(MIDNIGHT - timedelta(minutes=25))
    pour(talk, "T2", Kind.BATH, "B1")
    ends(talk, "T2", MIDNIGHT + timedelta(days=7))
    passes(talk, "T1")

    why, asked = under(talk, MIDNIGHT - timedelta(minutes=14))

    assert why == TOO_SHORT
    assert "Dip a strip in T2" in asked


@pytest.mark.parametrize(("more", "poured"), [(timedelta(0), False), (A_SECOND, True)])
def test_S5_nothing_is_poured_that_would_not_last_to_the_end_of_the_soak(
    more: timedelta, *, poured: bool
) -> None:
    """Pouring it, its strip, rinsing and drying, and the soak. The pace: common practice."""
    talk = evening(MIDNIGHT - timedelta(minutes=40))
    for tag in ("T1", "B1"):
        ends(talk, tag, MIDNIGHT)

    under(talk, MIDNIGHT - TO_POUR - STRIP - TO_BATH - SOAK - more)
    talk.sends("DISCARD T1")  # which nobody had to pour

    asked = thread(talk)
    assert asked.top.memo["source"] == ("B1" if poured else "J1")
    assert asked.top.memo["kind"] == ("bath" if poured else "bottle")


# -- when time has gone by since ----------------------------------------------------------------


@pytest.mark.parametrize("late", [timedelta(minutes=-5), timedelta(minutes=5)])
def test_S5_a_bath_whose_time_has_gone_by_since_it_was_chosen_is_named_too(
    late: timedelta,
) -> None:
    talk = evening(MIDNIGHT - timedelta(minutes=30))
    play_cycle(talk, until="dry")
    talk.wait(seconds=(MIDNIGHT + late - talk.now).total_seconds())

    why, asked = talk.sends("DRY")

    assert why.replace(" Tue", "") == TOO_SHORT.replace(" Tue", "")
    assert asked.startswith("No bath is ready. Pour B1")


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(("more", "into"), [(timedelta(0), False), (A_SECOND, True)])
def test_S1_S5_a_soak_that_would_end_with_its_bath_does_not_begin(
    level: Level, more: timedelta, *, into: bool
) -> None:
    """S1: in date both at IN and at OUT; OUT is not before the bell."""
    talk = clinic(level=level)
    play_cycle(talk, until="immerse")
    ends(talk, "T1", talk.now + timedelta(seconds=20) + SOAK + more)

    number = f"{talk.number()} " if level is Level.BRIEF else ""
    heard = talk.sends(f"IN {number}23", after=20)

    assert len(talk.happened(Immersed)) == into
    assert len(heard) == (1 if into else 3)
    assert into or heard[0].startswith("T1 may not be used for V1:")
    assert into or heard[1].endswith("too short for a soak of V1. Another bath is needed.")


@pytest.mark.parametrize(("more", "back"), [(timedelta(0), False), (A_SECOND, True)])
def test_S3_S5_what_came_out_early_does_not_go_back_into_what_ends_within_the_soak(
    more: timedelta, *, back: bool
) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    ends(talk, "T1", talk.now + timedelta(seconds=60) + SOAK + more)

    heard = talk.sends("OUT", after=60)

    assert [each.because for each in talk.happened(SoakBroken)] == ["early_out"]
    assert step_of(talk) == ("back_in" if back else "wipe_detergent")
    assert heard[0].startswith("V1 came out" if back else "T1 is good to")
    assert back or heard[0].endswith(
        " only: too short for a whole soak. V1 must be cleaned again, then soaked in another bath."
    )


def test_S4_what_is_on_hold_is_no_reason_that_is_told_as_its_date() -> None:
    talk = evening(MIDNIGHT - timedelta(minutes=30))
    play_cycle(talk, until="dry")
    bath = replace(talk.clinic.containers["T1"], fitness=Fitness.HELD, why="no_result")
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "T1": bath})
    talk.wait(seconds=(MIDNIGHT - talk.now).total_seconds())

    heard = talk.sends("DRY")

    assert TOO_SHORT not in heard


def waits_to_put_in(talk: Talk, step: str) -> None:
    """The probe is to go into T1: for the first time, once the bath is warm, or back again."""
    play_cycle(talk, until="soaking" if step == "back_in" else "immerse")
    if step != "immerse":
        talk.sends("OUT" if step == "back_in" else "IN 18", after=60)
    assert step_of(talk) == step


MUST_BE_CLEANED = "V1 must be cleaned again, then soaked in another bath."
IN_STEPS = pytest.mark.parametrize("step", ["immerse", "warm", "back_in"])


@IN_STEPS
@pytest.mark.parametrize(("more", "again"), [(timedelta(0), False), (A_SECOND, True)])
def test_S5_nobody_is_reminded_to_put_it_in_a_bath_that_in_would_be_refused_for(
    step: str, more: timedelta, *, again: bool
) -> None:
    talk = clinic()
    waits_to_put_in(talk, step)
    ends(talk, "T1", talk.now + timedelta(seconds=60) + SOAK + more)

    *why, asked = talk.sends("what now", after=60)

    was_in = step != "immerse"
    instead = "V1: wipe handle and cable" if was_in else "No bath is ready. Pour B1"
    due = MUST_BE_CLEANED if was_in else ANOTHER_IS_NEEDED
    assert asked.startswith("V1: put it in T1" if again else instead)
    assert again or why[-1].endswith(due)


@IN_STEPS
def test_S4_nor_where_its_pass_ended_with_the_day_but_to_dip_another_strip(step: str) -> None:
    """The pass of a strip ends with the day: common practice, no source."""
    talk = clinic()
    talk.now = MIDNIGHT - timedelta(minutes=15)
    waits_to_put_in(talk, step)
    talk.now = MIDNIGHT

    asked = talk.sends("what now")[-1]

    assert ("Dip a strip in T1" in asked) == (step == "immerse")
    assert asked.startswith("V1: wipe handle and cable") == (step != "immerse")


def test_S5_nor_by_left_while_it_waits_in_the_detergent() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="immerse")
    ends(talk, "T1", talk.now + timedelta(seconds=60) + SOAK)

    washed, why, asked = talk.sends("LEFT", after=60)

    assert washed == "V1: detergent time is up."
    assert why.endswith(ANOTHER_IS_NEEDED)
    assert asked.startswith("No bath is ready. Pour B1")


def test_S5_a_reminder_leads_to_another_bath_as_well() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    ends(talk, "T1", talk.now + timedelta(minutes=9) + SOAK)

    talk.wait(minutes=10)

    *_, why, asked = talk.heard["ph1"]
    assert why.endswith(ANOTHER_IS_NEEDED)
    assert asked.startswith("No bath is ready. Pour B1")


# -- what is mixed for one soak -----------------------------------------------------------------


@pytest.mark.parametrize(("more", "mixed"), [(timedelta(0), False), (A_SECOND, True)])
def test_S5_what_is_new_each_day_is_not_mixed_so_late_that_it_ends_within_the_soak(
    more: timedelta, *, mixed: bool
) -> None:
    """20 min: Reference Manual hosted by the IARC Screening Group, Table C-1; a minute to the
    bell. New each day: CDC sheet CS316270A, 15 May 2020."""
    talk = clinic(selection=CHLORINE)
    talk.now = MIDNIGHT - timedelta(minutes=40)
    talk.let(
        JugOpened(
            "J1", "chlorine_01", "L1", date(2027, 3, 31), talk.now,
            MIDNIGHT + timedelta(days=9), "maker_expiry",
        )
    )  # fmt: skip

    under(talk, MIDNIGHT - DETERGENT - TO_BATH - timedelta(minutes=21) - more)

    assert (len(talk.happened(CycleAbandoned)) == 0) is mixed
    assert talk.happened(Poured) == []
    assert not mixed or step_of(talk) == "single_use"


# -- what is named to be poured from ------------------------------------------------------------


@pytest.mark.parametrize(("tag", "kind"), [("J1", Kind.JUG), ("B1", Kind.BOTTLE)])
@pytest.mark.parametrize(("more", "taken"), [(timedelta(0), False), (A_SECOND, True)])
def test_S5_pouring_and_a_strip_are_reckoned_with_where_a_source_is_named(
    tag: str, kind: Kind, more: timedelta, *, taken: bool
) -> None:
    """A jug or a bottle that is named is refused by what would pass over it unnamed."""
    talk = clinic(bath=False)
    assert talk.clinic.containers[tag].kind is kind
    talk.let(JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), talk.now, NEXT_WEEK, ""))
    pour(talk, "B2", Kind.BOTTLE, "J2")
    ends(talk, tag, talk.now + TO_POUR + STRIP + SOAK + more)

    (heard,) = talk.sends(f"POUR {tag}")

    assert heard.startswith(f"Pour {tag} into" if taken else f"{tag} is good to ")
    assert ("too short for a soak, so nothing is poured from it" in heard) is not taken


def test_S5_what_was_named_and_ends_too_soon_meanwhile_is_replaced_with_a_word() -> None:
    """It had to be activated first, and that took its time."""
    talk = clinic(selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"))
    talk.let(JugOpened("J1", "ga_30", "L1", date(2027, 3, 31), talk.now, NEXT_WEEK, ""))
    talk.sends("POUR J1")
    ends(talk, "J1", talk.now + SOAK)

    *_, why, asked = talk.sends("ACTIVE", after=20)

    assert why.startswith("Nothing is poured from J1 now: it is good to ")
    assert asked.startswith("New jug of")

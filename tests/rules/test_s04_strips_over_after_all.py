"""S1, S4, S18: strips that turn out to have been over: what they had passed is not passed."""

from datetime import date, timedelta

import pytest

from flows.parts.clinic import Clinic, Fitness, Standing
from flows.parts.events import (
    CaseOpened,
    ContainerHeld,
    CycleVoided,
    Immersed,
    LifeShortened,
    StripBottleOpened,
)
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import WEEK, dips, fails, outcomes, passes
from tests.kit.talk import NINE, Talk, clinic

STRIPS = "opa_strip_1s_90s"
HOLD = (
    "ON HOLD, as the strips of S1 are not good: T1. Not for use until a strip of another bottle "
    "passes, like TEST T1."
)


def opened(talk: Talk, tag: str, lot: str, until_h: int) -> None:
    """Another bottle, to be used before those that are good for longer."""
    until = WEEK + timedelta(hours=until_h)
    talk.let(StripBottleOpened(tag, STRIPS, lot, date(2027, 3, 31), NINE, until, checked=True))


def was_over(talk: Talk, tag: str = "S1", **since: int) -> None:
    """By a correction of its date; since 28 February, if nothing else is said."""
    over = NINE + timedelta(**since) if since else NINE - timedelta(days=1)
    talk.let(LifeShortened(tag, over, "maker_expiry"))


def cycle_of(talk: Talk, device: str = "V1") -> str:
    return talk.clinic.devices[device].last_cycle or ""


def released_on_a_pass_of_before() -> Talk:
    """ph2 tests T1 by itself; V1 soaks on that pass."""
    talk = clinic()
    passes(talk, "T1", "ph2")
    play_cycle(talk)
    assert talk.happened(Immersed)[0].strip_test
    assert len(outcomes(talk)) == 1
    return talk


def test_S1_a_release_falls_that_soaked_on_their_pass_though_it_was_read_outside_its_cycle() -> (
    None
):
    talk = released_on_a_pass_of_before()
    assert talk.sends("CHECK V1", after=20)[0].startswith("V1 READY UNTIL")

    was_over(talk)

    (said,) = talk.sends("CHECK V1", after=20)
    assert said.startswith("V1 NOT READY")
    (case,) = talk.happened(CaseOpened)
    assert (case.cause, case.subject, case.cycles) == ("found_unfit", "S1", (cycle_of(talk),))
    assert fold_all(Clinic(), talk.entries) == talk.clinic


def test_S4_a_pass_of_theirs_that_nobody_has_used_is_gone_and_every_phone_hears_so() -> None:
    talk = clinic()
    passes(talk, "T1", "ph2")

    was_over(talk)

    assert talk.happened(ContainerHeld) == [ContainerHeld("T1", "strips_failed")]
    assert [each for each in talk.heard if HOLD in talk.heard[each]] == ["ph2", "ph1", "ph9"]
    assert talk.happened(CaseOpened) == []
    opened(talk, "S2", "K2", 0)
    passes(talk, "T1")
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S4_whoever_is_about_to_soak_on_it_does_not() -> None:
    talk = clinic()
    passes(talk, "T1", "ph2")
    play_cycle(talk, until="immerse")
    was_over(talk)

    said = talk.sends("IN 23", after=20)

    assert said[0].startswith("T1 is NOT FOR USE. Take V1 out")
    assert talk.happened(Immersed) == []


def test_S4_what_was_held_for_its_kin_and_freed_by_them_is_held_again() -> None:
    talk = clinic()
    talk.let(ContainerHeld("T1", "kin_failed"))
    passes(talk, "T1")
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD

    was_over(talk)

    assert talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert talk.clinic.containers["T1"].passed is None


def cleared_by_another_bottle(lot: str = "K2") -> Talk:
    """V1 is ready, soaked on a strip of S1; a strip of S2 has passed in T1 since."""
    talk = clinic()
    play_cycle(talk)
    opened(talk, "S2", lot, -5)
    passes(talk, "T1")
    return talk


def test_S4_S18_what_they_had_cleared_is_found_by_a_strip_that_fails() -> None:
    talk = cleared_by_another_bottle()

    was_over(talk, "S2")

    assert talk.clinic.devices["V1"].standing is Standing.RELEASED  # its own strip stands
    fails(talk, "T1")
    assert talk.happened(CaseOpened)[-1].cycles == (cycle_of(talk),)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert fold_all(Clinic(), talk.entries) == talk.clinic


def test_S4_S18_it_falls_at_once_where_what_it_soaked_in_has_failed_since() -> None:
    talk = cleared_by_another_bottle()
    fails(talk, "T1")
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED

    was_over(talk, "S2")

    case = talk.happened(CaseOpened)[-1]
    assert (case.cause, case.subject, case.cycles) == ("strips_failed", "S2", (cycle_of(talk),))
    ready = (
        "NO LONGER READY: V1. Its disinfectant failed; the strips of S2 that had cleared it are "
        "not good. Clean again: CLEAN V1."
    )
    assert all(ready in talk.heard[phone] for phone in ("ph1", "ph2", "ph9"))
    assert talk.clinic.devices["V1"].why == "strip_failed"


def test_S4_S18_what_falls_for_both_reasons_falls_once() -> None:
    talk = released_on_a_pass_of_before()
    passes(talk, "T1")
    opened(talk, "S2", "K2", -5)
    fails(talk, "T1")

    was_over(talk)

    assert [each.cycle for each in talk.happened(CycleVoided)] == [cycle_of(talk)]


@pytest.mark.parametrize("lot", ["K2", "L9"])
def test_S4_what_another_bottle_has_passed_stands(lot: str) -> None:
    talk = cleared_by_another_bottle(lot)

    was_over(talk)  # S1: V1 soaked on a strip of it, T1 was passed by S2 since

    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.happened(ContainerHeld) == []
    assert talk.clinic.containers["T1"].cycles == ()


def test_S4_what_they_had_passed_and_cleared_in_their_time_stands() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    passes(talk, "T1")
    talk.wait(minutes=24 * 60)
    play_cycle(talk, "V2")
    passes(talk, "T1")

    was_over(talk, hours=12)

    assert [each.cycle for each in talk.happened(CycleVoided)] == [cycle_of(talk, "V2")]
    assert talk.clinic.devices["V2"].standing is Standing.NOT_READY
    assert talk.clinic.containers["T1"].cycles == (cycle_of(talk, "V2"),)


def test_S4_a_date_that_is_still_to_come_undoes_nothing() -> None:
    talk = released_on_a_pass_of_before()

    was_over(talk, days=2)

    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("colour", [0, 1])
def test_S4_one_that_is_dipped_and_not_read_yet_shows_nothing(colour: int) -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    (thread,) = talk.clinic.threads.values()
    opened(talk, "S2", "K2", 0)
    was_over(talk)

    talk.sends(str(int(thread.top.memo["first"]) + colour), after=95)

    assert outcomes(talk) == [("no_result", "strips")]


def test_S4_one_that_was_dipped_in_its_time_is_read() -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    was_over(talk, minutes=1)
    (thread,) = talk.clinic.threads.values()

    talk.sends(thread.top.memo["first"], after=95)

    assert outcomes(talk) == [("pass", "")]
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S4_nor_does_it_matter_that_it_was_read_when_they_were_over() -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    (thread,) = talk.clinic.threads.values()
    talk.sends(thread.top.memo["first"], after=95)

    was_over(talk, minutes=1)

    assert talk.happened(ContainerHeld) == []


def test_S4_a_cleaning_in_which_they_passed_is_over() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    was_over(talk)

    assert step_of(talk) == ""
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY

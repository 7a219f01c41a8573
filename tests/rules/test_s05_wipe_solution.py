"""S4, S5: handle and cable are wiped with a solution that is fit, or that is seen to first."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Kind, Level
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    CycleVoided,
    JugActivated,
    JugOpened,
    Mixed,
    Poured,
    Recalled,
    ReleaseWithdrawn,
    StepDone,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import fails, passes, pour
from tests.kit.talk import NINE, Talk, clinic

WEEK = NINE + timedelta(days=7)
WET = timedelta(minutes=1)
"""How long it is left wet. Source: common practice, none published."""

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")
GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")

NONE_FIT = (
    "V1: no OPA 0.55 % here may be used for its wipe: out of date, held back, not active, or "
    "none left. That comes first."
)


@dataclass(frozen=True)
class At:
    """Where the wipe is stated: its step and word, how long hands need; and the one before."""

    level: Level
    step: str
    answer: str
    after: int
    before: str
    answer_before: str


COACHED = At(Level.COACH, "wipe_disinfectant", "wet", 20, "wipe_water", "water")
BRIEF = At(Level.BRIEF, "under", "under", 100, "cautions", "ready")
"""By itself; or with all that UNDER covers on brief texts."""

AT_BOTH = pytest.mark.parametrize("at", [COACHED, BRIEF], ids=["coached", "brief"])


def condemned(talk: Talk, tag: str) -> None:
    talk.let(ContainerCondemned(tag, "strip_failed"))


def held(talk: Talk, tag: str) -> None:
    talk.let(ContainerHeld(tag, "kin_failed"))


def discarded(talk: Talk, tag: str) -> None:
    talk.let(ContainerDiscarded(tag))


def recalled(talk: Talk, _: str) -> None:
    talk.let(Recalled(f"r{talk.count}", "lot", "opa_055", "L1", "", "digest", NINE))


def out_of_date(talk: Talk, tag: str) -> None:
    ends(talk, tag, timedelta(0))


def ends(talk: Talk, tag: str, left: timedelta) -> None:
    """So much from now is left of it."""
    container = replace(talk.clinic.containers[tag], discard_by=talk.now + left)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, tag: container})


Spoil = Callable[[Talk, str], None]
SPOILS: tuple[Spoil, ...] = (condemned, held, discarded, recalled)


def wiped(talk: Talk) -> list[str]:
    """From what, each time that it was stated."""
    done = talk.happened(StepDone)
    return [each.container for each in done if each.what == "wipe_disinfectant"]


# -- before the question ------------------------------------------------------------------------


@AT_BOTH
@pytest.mark.parametrize("gone", ["", "B1"])
def test_S5_what_is_fit_is_named_in_the_question_and_costs_no_other(at: At, gone: str) -> None:
    talk = clinic(level=at.level)
    if gone:
        condemned(talk, gone)
    play_cycle(talk, until=at.before)

    asked = talk.sends(at.answer_before, after=20)
    talk.sends(at.answer, after=at.after)

    tag = "J1" if gone else "B1"
    assert len(asked) == 1
    assert f"OPA 0.55 % from {tag}" in asked[0]
    assert wiped(talk) == [tag]


@AT_BOTH
@pytest.mark.parametrize("spoil", [*SPOILS, out_of_date])
def test_S4_S5_without_any_that_is_fit_one_is_opened_and_poured_first(
    at: At, spoil: Spoil
) -> None:
    talk = clinic(level=at.level)
    for tag in ("B1", "J1"):
        spoil(talk, tag)
    play_cycle(talk, until=at.before)

    why, first = talk.sends(at.answer_before, after=20)
    for said in ("270331", "L77"):
        talk.sends(said, after=20)
    _, asked = talk.sends("filled", after=20)
    talk.sends(at.answer, after=at.after)

    new = talk.happened(Poured)[-1].tag
    assert why == NONE_FIT
    assert "ew jug of OPA 0.55 %" in first
    assert f"OPA 0.55 % from {new}" in asked
    assert wiped(talk) == [new]


def test_S5_a_bath_is_nothing_to_wipe_with() -> None:
    talk = clinic()
    for tag in ("B1", "J1"):
        discarded(talk, tag)

    play_cycle(talk, until="jug")

    assert step_of(talk) == "jug"
    assert "T1" in talk.clinic.containers


def test_S5_nor_is_what_another_product_stands_in() -> None:
    talk = clinic()
    for tag in ("B1", "J1"):
        discarded(talk, tag)
    talk.let(JugOpened("J2", "ga_30", "L2", date(2027, 3, 31), NINE, WEEK, "maker_expiry"))

    play_cycle(talk, until="jug")

    assert step_of(talk) == "jug"


def test_S5_of_several_bottles_the_one_that_runs_out_first_is_named() -> None:
    talk = clinic()
    pour(talk, "B2", Kind.BOTTLE, "J1")
    ends(talk, "B2", timedelta(days=1))

    play_cycle(talk, until="wipe_disinfectant")

    assert "from B2" in talk.last()


@AT_BOTH
def test_S5_a_jug_that_is_not_active_is_activated_before_anything_is_wiped_with_it(at: At) -> None:
    talk = clinic(level=at.level, selection=GLUTARAL)

    play_cycle(talk, until="activate")
    before = wiped(talk)
    play_cycle(talk, until="wipe_rinse" if at is COACHED else "strips")

    assert before == []
    assert len(talk.happened(JugActivated)) == 1
    assert wiped(talk) == ["B1"]


@AT_BOTH
def test_S5_what_is_mixed_for_the_wipe_comes_from_a_source_that_is_fit(at: At) -> None:
    talk = clinic(level=at.level, selection=CHLORINE)
    talk.let(JugOpened("J1", "chlorine_01", "L1", date(2027, 3, 31), NINE, NINE, "maker_expiry"))
    play_cycle(talk, until="jug")

    first = talk.last()
    talk.sends("270331", after=20)
    talk.sends("L7", after=20)
    recipe = talk.sends("5% 1 L", after=20)
    _, asked = talk.sends("fresh", after=60)
    talk.sends(at.answer, after=at.after)

    assert first.startswith("New bottle of bleach or powder for chlorine 0.1 %, opened now")
    assert "20 mL bleach 5 %" in recipe[0]
    assert "chlorine 0.1 % from M1" in asked
    assert wiped(talk) == ["M1"]
    assert [(each.lot, each.strength) for each in talk.happened(Mixed)] == [("L7", "0.1 %")]


# -- between question and answer ----------------------------------------------------------------


@AT_BOTH
def test_S5_what_ran_out_between_the_question_and_the_answer_is_refused(at: At) -> None:
    talk = clinic(level=at.level)
    play_cycle(talk, until=at.step)
    ends(talk, "B1", timedelta(minutes=9))

    in_vain, asked = talk.sends(at.answer, after=540)

    assert in_vain == (
        "B1 is not for use any more: a wipe of V1 with it does not count. If V1 is in the "
        "detergent, take it out."
    )
    assert "OPA 0.55 % from J1" in asked
    assert wiped(talk) == []
    assert step_of(talk) == at.step


@AT_BOTH
@pytest.mark.parametrize(("more", "counts"), [(0, False), (1, True)])
def test_S5_it_must_outlast_the_time_that_it_is_left_wet(
    at: At, more: int, *, counts: bool
) -> None:
    talk = clinic(level=at.level)
    play_cycle(talk, until=at.step)
    ends(talk, "B1", timedelta(seconds=at.after + more) + WET)

    talk.sends(at.answer, after=at.after)

    assert wiped(talk) == ["B1"] * counts


@AT_BOTH
@pytest.mark.parametrize("spoil", SPOILS)
def test_S4_whoever_is_about_to_wipe_with_what_falls_is_asked_to_take_another(
    at: At, spoil: Spoil
) -> None:
    """But for a date that goes by: nothing rings then, it is seen at the answer."""
    talk = clinic(level=at.level)
    talk.let(JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"))
    discarded(talk, "J1")
    play_cycle(talk, until=at.step)
    named = talk.last()

    spoil(talk, "B1")

    *_, in_vain, asked = talk.heard["ph1"]
    assert "from B1" in named
    assert in_vain.startswith("B1 is not for use any more: a wipe of V1 with it does not count.")
    assert "from J2" in asked
    assert talk.happened(CycleVoided) == []


@AT_BOTH
def test_S4_without_another_it_is_said_once_that_a_wipe_with_what_is_gone_does_not_count(
    at: At,
) -> None:
    talk = clinic(level=at.level)
    discarded(talk, "J1")
    play_cycle(talk, until=at.step)

    talk.sends("DISCARD B1", phone="ph2", after=20)
    *_, in_vain, why, first = talk.heard["ph1"]
    play_cycle(talk, until="wipe_rinse" if at is COACHED else "strips")

    assert in_vain.startswith("B1 is not for use any more: a wipe of V1 with it does not count.")
    assert why == NONE_FIT
    assert "ew jug of OPA 0.55 %" in first
    assert talk.heard["ph1"].count(in_vain) == 1
    assert wiped(talk) == ["B2"]


@AT_BOTH
def test_S5_whoever_is_reminded_of_a_wipe_is_told_from_what_it_is(at: At) -> None:
    talk = clinic(level=at.level)
    play_cycle(talk, until=at.step)
    ends(talk, "B1", timedelta(minutes=9))
    talk.sends(at.answer, after=540)

    (reminded,) = talk.sends("and now?", after=20)

    assert "OPA 0.55 % from J1" in reminded


@AT_BOTH
def test_S5_a_reminder_names_nothing_that_has_run_out_since_it_was_asked(at: At) -> None:
    talk = clinic(level=at.level)
    play_cycle(talk, until=at.step)
    ends(talk, "B1", timedelta(minutes=9))

    talk.wait(minutes=10)

    *_, in_vain, asked = talk.heard["ph1"]
    assert in_vain.startswith("B1 is not for use any more: a wipe of V1 with it does not count.")
    assert "OPA 0.55 % from J1" in asked


def test_S4_a_bottle_whose_strip_fails_beside_the_question_is_not_asked_for_again() -> None:
    talk = clinic()
    talk.let(JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"))
    play_cycle(talk, until="wipe_disinfectant")
    talk.sends("TEST B1", after=20)
    talk.sends("dip B1", after=20)

    failed, held, in_vain, asked = talk.sends("2", after=95)

    assert failed.startswith("B1 FAILED.")
    assert held.startswith("ON HOLD, as the strip of B1 failed: J1.")
    assert in_vain.startswith("B1 is not for use any more: a wipe of V1 with it does not count.")
    assert asked.startswith("V1: gloves on. Wipe handle and cable with OPA 0.55 % from J2")


def test_S5_once_it_is_wiped_nobody_is_sent_back_when_the_bottle_goes() -> None:
    talk = clinic()
    play_cycle(talk, until="under")

    heard = talk.sends("DISCARD B1", after=20)

    assert len(heard) == 1
    assert heard[0].startswith("B1 is noted as thrown away.")
    assert step_of(talk) == "under"


@AT_BOTH
def test_S5_a_question_from_an_older_release_that_named_nothing_is_put_again(at: At) -> None:
    talk = clinic(level=at.level)
    play_cycle(talk, until=at.step)
    (thread,) = talk.clinic.threads.values()
    old = replace(thread, frames=(replace(thread.top, memo={}),))
    talk.clinic = replace(talk.clinic, threads={old.id: old})

    (asked,) = talk.sends(at.answer, after=at.after)

    assert "from B1" in asked
    assert wiped(talk) == []


# -- what rests on it ---------------------------------------------------------------------------


@pytest.mark.parametrize("lot", ["L2", "L3"])
def test_S18_a_cycle_and_its_release_rest_on_the_lot_that_its_handle_was_wiped_with(
    lot: str,
) -> None:
    talk = clinic()
    talk.let(
        JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"),
        Poured("B2", Kind.BOTTLE, "J2", "opa_055", "L2", NINE, WEEK, "", topped_up=False),
        ContainerDiscarded("B1"),
    )
    play_cycle(talk)

    talk.let(Recalled("r1", "lot", "opa_055", lot, "", "digest", NINE))

    assert wiped(talk) == ["B2"]
    assert len(talk.happened(ReleaseWithdrawn)) == (lot == "L2")


@AT_BOTH
def test_S18_of_a_cycle_that_a_recall_voids_nothing_is_asked_any_more(at: At) -> None:
    """A life that dates were reckoned with: what it was about to be wiped with falls too."""
    talk = clinic(level=at.level)
    play_cycle(talk, until=at.step)
    asked = talk.last()

    talk.let(Recalled("r1", "figure", "opa_055", "reuse_life_days", "14 days", "digest", NINE))

    assert len(talk.happened(CycleVoided)) == 1
    assert talk.heard["ph1"].count(asked) == 1
    assert talk.clinic.threads == {}


def test_S1_whoever_takes_over_says_from_what_it_was_wiped() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="under")

    talk.sends("TAKE V1", phone="ph2", after=20)
    play_cycle(talk, phone="ph2")

    assert wiped(talk) == ["B1"]
    assert talk.clinic.devices["V1"].release is not None


def test_S4_what_is_on_hold_may_be_wiped_with_once_a_strip_of_its_own_has_passed() -> None:
    talk = clinic(bath=False)
    for tag in ("B1", "J1"):
        held(talk, tag)
    play_cycle(talk, until="jug")

    *_, asked = passes(talk, "J1")

    assert asked.startswith("V1: gloves on. Wipe handle and cable with OPA 0.55 % from J1")


# -- a strip that fails after it ----------------------------------------------------------------

OTHER_JUG = (
    JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"),
    Poured("T2", Kind.BATH, "J2", "opa_055", "L2", NINE, WEEK, "reuse_life", topped_up=False),
    ContainerDiscarded("T1"),
)
"""The probe soaks in what has nothing to do with what its handle is wiped with."""


@pytest.mark.parametrize("failed", ["B1", "J1"])
@pytest.mark.parametrize(
    ("level", "step"),
    [
        (Level.COACH, "wipe_rinse"),
        (Level.COACH, "soaking"),
        (Level.COACH, "cover"),
        (Level.BRIEF, "dip"),
        (Level.BRIEF, "cover"),
    ],
)
def test_S4_a_wipe_with_what_fails_its_strip_makes_the_cleaning_void(
    level: Level, step: str, failed: str
) -> None:
    talk = clinic(level=level)
    talk.let(*OTHER_JUG)
    play_cycle(talk, until=step)

    fails(talk, failed, phone="ph2")

    assert wiped(talk) == ["B1"]
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert talk.clinic.cycles == {}
    assert "V1: its disinfectant failed its strip." in "".join(talk.heard["ph1"])
    assert "soaked in it or wiped with it are NOT READY" in "".join(talk.heard["ph1"])


def test_S4_S18_a_release_falls_with_the_bottle_that_its_handle_was_wiped_with() -> None:
    talk = clinic()
    talk.let(*OTHER_JUG)
    play_cycle(talk)

    fails(talk, "B1")

    (case,) = talk.happened(CaseOpened)
    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"]
    assert len(case.cycles) == 1


def test_S4_a_wipe_counts_where_its_bottle_has_passed_since_or_another_one_fails() -> None:
    talk = clinic()
    talk.let(*OTHER_JUG)
    pour(talk, "B3", Kind.BOTTLE, "J1")
    play_cycle(talk)

    fails(talk, "B3")
    passes(talk, "B1")
    talk.now += timedelta(hours=1)
    fails(talk, "B1")

    assert wiped(talk) == ["B1"]
    assert talk.happened(CycleVoided) == []

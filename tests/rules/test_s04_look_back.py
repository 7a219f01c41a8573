"""S4: a pass clears what it was read in, and while it stands; what a failed strip then finds."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Batch, Clinic, Container, Fitness, Kind, Pass, Standing
from flows.parts.events import (
    CaseOpened,
    ContainerHeld,
    CycleVoided,
    Recalled,
    StripBottleOpened,
    StripDipped,
    StripRead,
)
from flows.parts.look_back import Cleared
from flows.parts.state import fold_all
from flows.rules.strip import fallen
from tests.kit.cycles import play_cycle
from tests.kit.strips import fails, passes, pour
from tests.kit.talk import NINE, Talk, clinic

STRIPS = "opa_strip_1s_90s"
WEEK = NINE + timedelta(days=7)


def cycle_of(talk: Talk, device: str = "V1") -> str:
    """The cycle it was last released from."""
    return talk.clinic.devices[device].last_cycle or ""


def looked_back_for(talk: Talk) -> tuple[str, ...]:
    """The cycles of the newest case."""
    cycles: tuple[str, ...] = talk.happened(CaseOpened)[-1].cycles
    return cycles


def open_strips(talk: Talk, tag: str, lot: str) -> None:
    """Another bottle of strips, which runs out first, so that it is the one to use."""
    soon = WEEK - timedelta(hours=int(tag[1:]))
    talk.let(StripBottleOpened(tag, STRIPS, lot, WEEK.date(), NINE, soon, checked=True))


def recall(
    talk: Talk, lot: str, what: str = "strip_lot", value: str = "", also: tuple[str, ...] = ()
) -> None:
    talk.let(Recalled(f"r{talk.count}", what, STRIPS, lot, value, "digest", NINE, also))


# -- only what was read -------------------------------------------------------------------------


@pytest.mark.parametrize("tested", ["B1", "J1"])
def test_S4_the_pass_of_what_it_was_poured_from_proves_nothing_of_a_used_bath(tested: str) -> None:
    talk = clinic()
    play_cycle(talk)
    cycle = cycle_of(talk)

    passes(talk, tested)
    fails(talk, "T1")

    assert looked_back_for(talk) == (cycle,)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.sends("CHECK V1", after=20)[0].startswith("V1 NOT READY")


def test_S4_a_pass_of_the_jug_clears_nothing_that_was_wiped_from_its_bottle() -> None:
    talk = clinic()
    play_cycle(talk)
    cycle = cycle_of(talk)
    passes(talk, "T1")  # the bath is cleared by a strip of its own; the wipe was from B1

    passes(talk, "J1")
    fails(talk, "B1")

    assert looked_back_for(talk) == (cycle,)


def test_S4_a_bottle_freed_by_a_strip_of_its_own_frees_no_bath() -> None:
    talk = clinic()
    pour(talk, "T2", Kind.BATH, "B1")
    play_cycle(talk)
    bath = talk.happened(StripRead)[0].container
    other = "T1" if bath == "T2" else "T2"
    fails(talk, other)

    passes(talk, "B1")

    assert talk.clinic.containers["B1"].fitness is Fitness.GOOD
    assert talk.clinic.containers[bath].fitness is Fitness.HELD
    fails(talk, bath)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


@pytest.mark.parametrize("failed", ["B1", "T1"])
def test_S4_where_the_bottle_is_tested_daily_a_fail_voids_all_that_soaked_in_its_bath(
    failed: str,
) -> None:
    talk = clinic(devices=("V1", "V2"))
    daily = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=daily)
    play_cycle(talk, "V1")
    passes(talk, "B1")
    play_cycle(talk, "V2")

    fails(talk, failed)

    assert set(looked_back_for(talk)) == {cycle_of(talk, "V1"), cycle_of(talk, "V2")}
    assert [each.standing for each in talk.clinic.devices.values()] == [Standing.NOT_READY] * 2


def test_S4_S18_the_case_begins_before_the_first_cycle_that_no_pass_has_cleared() -> None:
    passed = Pass("t1", NINE, WEEK)
    bottle = Container(
        "B1", Kind.BOTTLE, "opa_055", "L1", "J1", NINE, WEEK, "reuse_life", passed=passed
    )
    bath = replace(bottle, tag="T1", kind=Kind.BATH, source="B1", passed=None)
    later = replace(bath, passed=replace(passed, at=NINE + timedelta(hours=1)), cycles=("c2",))
    read = StripRead(
        "t2",
        "B1",
        "S1",
        None,
        "fail",
        "fail",
        "",
        timedelta(0),
        age_proved=True,
        day=NINE.date(),
        good_until=None,
    )

    def since(*things: Container) -> object:
        shelf = Clinic(containers={each.tag: each for each in things})
        (*_, case) = fallen(shelf, read, "case")
        assert isinstance(case, CaseOpened)
        return case.since

    assert since(bottle, bath) == NINE
    assert since(bottle, later) == later.passed.at  # type: ignore[union-attr]
    assert since(replace(bottle, cycles=("c1",)), later) == NINE
    assert since(bottle, replace(bath, cycles=("c1",))) is None


# -- only while it stands -----------------------------------------------------------------------


def passed_by(talk: Talk, tag: str, lot: str) -> None:
    """The next strip is of another bottle, of that lot, and passes in T1."""
    open_strips(talk, tag, lot)
    passes(talk, "T1")


def test_S4_S18_what_recalled_strips_had_cleared_is_found_by_a_strip_that_fails() -> None:
    talk = clinic()
    play_cycle(talk)
    cycle = cycle_of(talk)
    passed_by(talk, "S2", "K2")

    recall(talk, "K2")
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED  # its own strip stands
    fails(talk, "T1")

    assert looked_back_for(talk) == (cycle,)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


def test_S4_S18_what_a_pass_that_stands_had_cleared_stays_cleared() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    play_cycle(talk, "V2")  # its strip, of L9, clears V1
    passed_by(talk, "S2", "K2")

    recall(talk, "K2")
    fails(talk, "T1")

    assert looked_back_for(talk) == (cycle_of(talk, "V2"),)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S4_S18_a_later_pass_by_other_strips_clears_it_as_well() -> None:
    talk = clinic()
    play_cycle(talk)
    passed_by(talk, "S2", "K2")
    passed_by(talk, "S3", "K3")

    recall(talk, "K2")
    fails(talk, "T1")

    assert looked_back_for(talk) == ()
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S4_S18_once_those_strips_are_recalled_too_nothing_is_left_to_clear_it() -> None:
    talk = clinic()
    play_cycle(talk)
    passed_by(talk, "S2", "K2")
    passed_by(talk, "S3", "K3")

    recall(talk, "K2")
    recall(talk, "K3")
    fails(talk, "T1")

    assert looked_back_for(talk) == (cycle_of(talk),)


def test_S4_S18_what_was_cleared_is_kept_though_later_strips_have_nothing_to_clear() -> None:
    talk = clinic()
    play_cycle(talk)
    passed_by(talk, "S2", "K1")
    passed_by(talk, "S3", "K2")
    passes(talk, "T1")

    recall(talk, "K1")
    recall(talk, "K2")
    fails(talk, "T1")

    assert looked_back_for(talk) == (cycle_of(talk),)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


def test_S4_S18_it_is_found_though_the_bath_was_on_hold_when_the_strips_were_recalled() -> None:
    talk = clinic()
    play_cycle(talk)
    passed_by(talk, "S2", "K2")
    talk.let(ContainerHeld("T1", "kin_failed"))

    recall(talk, "K2")
    fails(talk, "T1")

    assert looked_back_for(talk) == (cycle_of(talk),)


def test_S4_S18_it_is_found_with_the_bottle_though_the_bath_was_thrown_away() -> None:
    talk = clinic()
    play_cycle(talk)
    passes(talk, "B1")  # it was wiped from B1: that is cleared
    passed_by(talk, "S2", "K2")
    talk.sends("DISCARD T1", after=20)

    recall(talk, "K2")
    fails(talk, "B1")

    assert looked_back_for(talk) == (cycle_of(talk),)


def test_S4_S18_a_figure_of_the_strips_that_was_wrong_withdraws_what_they_had_cleared() -> None:
    talk = clinic()
    play_cycle(talk)
    passed_by(talk, "S2", "K2")

    recall(talk, "read_within", "figure", "60 s")

    assert talk.clinic.containers["T1"].cycles == (cycle_of(talk),)
    fails(talk, "B1")
    assert looked_back_for(talk) == (cycle_of(talk),)


def test_S4_S15_strips_whose_lot_is_corrected_to_the_recalled_one_had_cleared_nothing() -> None:
    talk = clinic()
    play_cycle(talk)
    passes(talk, "B1")  # it was wiped from B1: that is cleared
    passed_by(talk, "S2", "K3")

    recall(talk, "K2", also=("S2", "T1"))
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    fails(talk, "B1")

    assert looked_back_for(talk) == (cycle_of(talk),)


def test_S4_S18_strips_recalled_after_the_bath_has_failed_void_what_they_had_cleared() -> None:
    talk = clinic()
    play_cycle(talk)
    passed_by(talk, "S2", "K2")
    fails(talk, "T1")
    assert looked_back_for(talk) == ()

    recall(talk, "K2")

    assert looked_back_for(talk) == (cycle_of(talk),)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    recall(talk, "K4")  # it is looked back for already
    assert looked_back_for(talk) == ()
    assert len(talk.happened(CycleVoided)) == 1


def test_S4_what_soaks_while_a_strip_passes_is_in_doubt_before_and_after_it() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    cycle = talk.clinic.devices["V1"].cycle

    open_strips(talk, "S2", "K2")
    passes(talk, "T1", phone="ph2")

    assert talk.clinic.containers["T1"].cycles == (cycle,)
    assert talk.clinic.containers["T1"].cleared == ()


def test_S4_strips_of_one_bottle_and_day_are_kept_together_and_nothing_of_no_cycle() -> None:
    talk = clinic(devices=("V1", "V2"))
    passes(talk, "T1")
    assert talk.clinic.containers["T1"].cleared == ()

    play_cycle(talk, "V1")
    play_cycle(talk, "V2")
    passes(talk, "T1")

    both = (cycle_of(talk, "V1"), cycle_of(talk, "V2"))
    last = [each.at for each in talk.entries if isinstance(each.event, StripDipped)][-1]
    assert talk.clinic.containers["T1"].cleared == (Cleared(STRIPS, "L9", both, "S1", last),)


def test_S15_what_was_cleared_and_put_back_is_made_again_from_the_record() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    passed_by(talk, "S2", "K2")
    play_cycle(talk, "V2")

    recall(talk, "K2")

    assert fold_all(Clinic(), talk.entries) == talk.clinic
    assert talk.clinic.recall_of(Batch(STRIPS, "K2")) is not None

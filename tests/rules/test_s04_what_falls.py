"""S4: what falls with a failed strip, all at once."""

import pytest

from flows.parts.clinic import Fitness, Kind, Standing
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    CycleVoided,
    ReleaseWithdrawn,
)
from tests.kit.cycles import play_cycle, thread_of
from tests.kit.strips import fails, first_digit, passes, pour
from tests.kit.talk import Talk, clinic


def test_S4_kin_from_the_same_jug_is_held_until_a_strip_of_its_own() -> None:
    talk = clinic()
    for tag, kind, source in [("B2", Kind.BOTTLE, "J1"), ("T2", Kind.BATH, "B2")]:
        pour(talk, tag, kind, source)

    fails(talk, "T1")
    held = {tag: each.fitness for tag, each in talk.clinic.containers.items()}
    passes(talk, "T2")

    assert held == {
        "J1": Fitness.HELD,
        "B1": Fitness.HELD,
        "T1": Fitness.CONDEMNED,
        "B2": Fitness.HELD,
        "T2": Fitness.HELD,
    }
    assert talk.clinic.containers["T2"].fitness is Fitness.GOOD
    assert talk.clinic.containers["B2"].fitness is Fitness.HELD


def test_S4_what_was_poured_from_what_failed_falls_with_it() -> None:
    talk = clinic()

    fails(talk, "B1")

    assert [event.tag for event in talk.happened(ContainerCondemned)] == ["B1", "T1"]
    assert [event.tag for event in talk.happened(ContainerHeld)] == ["J1"]


def test_S4_what_did_not_come_from_the_same_jug_is_let_be() -> None:
    talk = clinic()
    pour(talk, "T9", Kind.BATH, "B9")

    fails(talk, "T1")

    assert talk.clinic.containers["T9"].fitness is Fitness.GOOD


def test_S4_a_fail_voids_every_cycle_since_the_last_valid_pass_and_no_other() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    before = talk.now
    play_cycle(talk, "V2")  # on a strip of its own, which passed

    fails(talk, "T1")

    (case,) = talk.happened(CaseOpened)
    assert [event.device for event in talk.happened(CycleVoided)] == ["V2"]
    assert [event.device for event in talk.happened(ReleaseWithdrawn)] == ["V2"]
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert talk.clinic.devices["V2"].standing is Standing.NOT_READY
    assert talk.clinic.devices["V2"].why == "strip_failed"
    assert case.cause == "strip_failed"
    assert case.since is not None
    assert before < case.since < talk.now
    assert case.cycles == (talk.happened(CycleVoided)[0].cycle,)


@pytest.mark.parametrize("step", ["soaking", "final_rinse", "cover"])
def test_S4_a_fail_voids_a_running_cycle_at_any_step_and_tells_whoever_is_at_it(
    step: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    fails(talk, "T1", phone="ph2")

    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.clinic.devices["V1"].why == "voided"
    assert thread_of(talk, "V1") is None
    assert talk.clinic.cycles == {}
    assert any(
        "its disinfectant failed its strip. This cleaning does not count" in t
        for t in talk.heard["ph1"]
    )
    assert not [bell for bell in talk.clinic.bells.values() if bell.cycle]


def test_S4_a_cycle_whose_own_strip_fails_the_bath_it_soaked_in_is_void() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("again", after=60)
    talk.let(ContainerHeld("T1", "kin_failed"))
    play_cycle(talk, until="read")

    talk.sends(str(int(first_digit(talk, "T1")) + 1), after=95)

    assert [event.device for event in talk.happened(CycleVoided)] == ["V1"]
    assert thread_of(talk, "V1") is None
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


def test_S4_a_use_between_release_and_fail_is_in_the_case_though_no_release_is_left() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)

    fails(talk, "T1")

    (voided,) = talk.happened(CycleVoided)
    (case,) = talk.happened(CaseOpened)
    assert case.cycles == (voided.cycle,)
    assert talk.happened(ReleaseWithdrawn) == []


def test_S4_a_bath_thrown_away_still_falls_with_the_jug_it_came_from() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("DISCARD T1", after=60)
    talk.sends("DISCARD B1", after=60)

    fails(talk, "J1")

    assert len(talk.happened(CycleVoided)) == 1
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


def test_S4_what_has_no_source_left_is_forgotten_and_its_tag_is_free() -> None:
    talk = clinic()

    for tag in ("T1", "B1", "J1"):
        talk.sends(f"DISCARD {tag}", after=20)

    assert talk.clinic.containers == {}


@pytest.mark.parametrize(("failed", "why"), [("J1", "condemned"), ("T1", "held")])
def test_S4_a_jug_of_the_same_lot_as_one_that_failed_waits_for_a_strip_of_its_own(
    failed: str, why: str
) -> None:
    talk = clinic()
    fails(talk, failed)
    assert talk.clinic.containers["J1"].fitness == why

    heard = opens(talk, "L1")

    assert talk.clinic.containers["J2"].fitness is Fitness.HELD
    assert heard[0].startswith("J2 may be J1, no lot tells them apart")
    assert heard[1].startswith("Write on it: J2-")
    assert heard[2].startswith("J2: ON HOLD until a strip of its own passes: TEST J2.")
    passes(talk, "J2")
    assert talk.clinic.containers["J2"].fitness is Fitness.GOOD


def test_S4_a_jug_of_another_lot_or_after_the_failed_one_is_thrown_away_is_for_use() -> None:
    talk = clinic()
    fails(talk, "J1")

    opens(talk, "L2")
    talk.let(ContainerDiscarded("J1"))
    opens(talk, "L1")

    assert talk.clinic.containers["J2"].fitness is Fitness.GOOD
    assert talk.clinic.containers["J3"].fitness is Fitness.GOOD


def opens(talk: Talk, lot: str) -> list[str]:
    talk.sends("OPEN", after=20 * 60)
    talk.sends("270331", after=20)
    return talk.sends(lot, after=20)

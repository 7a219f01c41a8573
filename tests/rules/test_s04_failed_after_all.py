"""S4, S18: a strip that has failed after all acts as a fail told then, by the record.

What it stands for is a fact that nobody texted: a reading that is put right at the desk.
"""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness, Kind, Standing
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    CleaningRestarted,
    ContainerDiscarded,
    ContainerHeld,
    CycleVoided,
    ReleaseWithdrawn,
    StripRead,
)
from tests.kit.cycles import play_cycle
from tests.kit.strips import fails, passes, pour
from tests.kit.talk import Talk, clinic

DAY = timedelta(days=1)


def failed(talk: Talk, nth: int, **other: str) -> None:
    """The *nth* reading failed after all, as the desk tells it."""
    read = talk.happened(StripRead)[nth]
    assert isinstance(read, StripRead)
    fail = replace(read, outcome="fail", seen="fail", because="", good_until=None, **other)
    talk.now += DAY / 8
    talk.let(fail)


def voided(talk: Talk) -> list[str]:
    return [each.device for each in talk.happened(CycleVoided)]


def three_soaks() -> Talk:
    """V1, V2 and V3, one after the other in T1, each on a strip of its own."""
    talk = clinic(devices=("V1", "V2", "V3"))
    for device in ("V1", "V2", "V3"):
        play_cycle(talk, device)
    return talk


def test_S4_what_has_soaked_since_the_pass_before_it_is_void_though_another_has_passed() -> None:
    talk = three_soaks()
    talk.sends("USED V3 0412", after=60)
    first = talk.happened(StripRead)[0]

    failed(talk, 1)

    (case,) = talk.happened(CaseOpened)
    assert voided(talk) == ["V1", "V2", ""]  # no release of V3 is left, as it has been used
    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1", "V2"]
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert (case.cause, case.subject, len(case.cycles)) == ("strip_failed", "T1", 3)
    read_at = next(each.at for each in talk.entries if each.event == first)
    assert case.since == read_at - first.age_most


def test_S4_what_had_soaked_on_the_pass_before_that_is_let_be() -> None:
    talk = three_soaks()

    failed(talk, 2)

    assert voided(talk) == ["V2", "V3"]
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S4_the_bath_is_out_of_use_and_its_kin_on_hold_and_everybody_hears() -> None:
    talk = three_soaks()

    failed(talk, 1)

    fitness = {tag: each.fitness for tag, each in talk.clinic.containers.items()}
    assert fitness == {"J1": Fitness.HELD, "B1": Fitness.HELD, "T1": Fitness.CONDEMNED}
    assert [each.cause for each in talk.happened(AlertRaised)] == ["strip_failed"]
    for phone in ("ph1", "ph9"):
        assert any(each.startswith("DO NOT USE T1: its strip") for each in talk.heard[phone])
        assert any(each.startswith("NO LONGER READY: V1, V2, V3.") for each in talk.heard[phone])


def test_S4_a_cleaning_that_is_still_going_on_is_void_and_whoever_is_at_it_hears() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    play_cycle(talk, "V2", until="final_rinse")

    failed(talk, 0)

    assert voided(talk) == ["V1", "V2"]
    assert talk.clinic.cycles == {}
    assert any("This cleaning does not count" in each for each in talk.heard["ph1"])


def test_S4_where_none_has_passed_before_all_of_it_is_in_doubt() -> None:
    talk = three_soaks()

    failed(talk, 0)

    assert voided(talk) == ["V1", "V2", "V3"]
    assert talk.happened(CaseOpened)[0].since is None


def test_S4_a_pass_of_strips_that_do_not_stand_is_none() -> None:
    talk = three_soaks()
    strips = replace(talk.clinic.strips["S1"], checked=False)
    talk.clinic = replace(talk.clinic, strips={"S1": strips})

    failed(talk, 2)

    assert voided(talk) == ["V1", "V2", "V3"]


def test_S4_told_once_more_it_changes_nothing() -> None:
    talk = three_soaks()
    failed(talk, 1)
    known = len(talk.entries)

    failed(talk, 1)

    assert len(talk.entries) == known + 1


def test_S18_what_was_soaked_in_a_bath_that_is_gone_is_looked_back_for() -> None:
    """And what bears its tag by now, and whatever soaked in that, is let be."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    for tag in ("T1", "B1", "J1"):
        talk.let(ContainerDiscarded(tag))
    assert "T1" not in talk.clinic.containers
    talk.now += DAY / 24
    pour(talk, "T1", Kind.BATH, "J9")
    play_cycle(talk, "V2")

    failed(talk, 0)

    assert voided(talk) == ["V1"]
    assert talk.clinic.devices["V2"].standing is Standing.RELEASED
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert talk.happened(ContainerHeld) == []
    assert [each.cause for each in talk.happened(AlertRaised)] == ["found_unfit"]
    assert any(
        each.startswith("T1 was no good when it was used, as has turned out.")
        for each in talk.heard["ph1"]
    )
    assert not any("DO NOT USE" in each for each in talk.heard["ph1"])


def test_S18_where_nothing_was_soaked_in_what_is_gone_nothing_follows() -> None:
    talk = clinic()
    passes(talk, "T1")
    for tag in ("T1", "B1", "J1"):
        talk.let(ContainerDiscarded(tag))

    failed(talk, 0)

    assert talk.happened(CaseOpened) == []


def test_S4_what_was_poured_from_it_falls_with_all_that_soaked_in_that() -> None:
    talk = clinic()
    passes(talk, "B1")
    talk.now += DAY / 24
    pour(talk, "T2", Kind.BATH, "B1")
    talk.let(ContainerDiscarded("T1"))
    play_cycle(talk)

    failed(talk, 0)

    assert voided(talk) == ["V1"]
    assert talk.clinic.containers["T2"].fitness is Fitness.CONDEMNED


def test_S4_what_was_cleaned_from_the_start_since_rests_on_it_no_more() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    play_cycle(talk, "V2", until="soaking")
    (cycle,) = talk.clinic.cycles
    talk.let(CleaningRestarted(cycle, "V2", "unknown"))
    passes(talk, "T1")

    failed(talk, 0)

    assert voided(talk) == ["V1"]


@pytest.mark.parametrize("tag", ["T2", "T1"])
def test_S4_a_fail_that_was_of_another_bath_counts_there(tag: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    pour(talk, "T2", Kind.BATH, "J9")
    fails(talk, "T2")

    failed(talk, -1, container=tag)

    assert voided(talk) == (["V1"] if tag == "T1" else [])
    assert (talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED) is (tag == "T1")

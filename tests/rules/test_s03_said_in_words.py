"""S3, S8: what is told of a probe in other words than were asked for, and what is owned up to."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Kind, Level
from flows.parts.events import (
    CleaningRestarted,
    ClockStepped,
    Immersed,
    Poured,
    PutInBath,
    SoakBroken,
)
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import NINE, Talk, clinic


def at_step(step: str, level: Level = Level.COACH) -> Talk:
    """V1 at that step of its cleaning, with a second bath beside its own."""
    talk = clinic(level=level)
    until = NINE + timedelta(days=10)
    poured = Poured(
        "T2", Kind.BATH, "B1", "opa_055", "L1", NINE, until, "reuse_life", topped_up=False
    )
    play_cycle(talk, until=step)
    talk.let(poured)
    return talk


def put_in(talk: Talk) -> list[str]:
    return [each.bath for each in talk.happened(PutInBath)]


@pytest.mark.parametrize("step", ["dip", "rinse", "dry", "immerse", "soaking", "final_rinse"])
@pytest.mark.parametrize("said", ["V1 is in T2", "its in T2 23", "I put it in T2", "now in T2 23"])
def test_S3_in_another_bath_it_is_heard_in_any_words(step: str, said: str) -> None:
    talk = at_step(step)

    talk.sends(said, after=60)

    assert put_in(talk) == ["T2"]
    assert talk.happened(SoakBroken) == [] or step == "soaking"


@pytest.mark.parametrize(
    "said", ["is it in T2?", "it is not in T2", "T2", "V1 is in T1", "when can it go in T2"]
)
def test_S3_a_question_a_denial_or_its_own_bath_breaks_no_soak(said: str) -> None:
    talk = at_step("soaking")

    talk.sends(said, after=60)

    assert (put_in(talk), talk.happened(SoakBroken)) == ([], [])


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
def test_S3_that_it_went_in_another_bath_is_never_too_quick(level: Level) -> None:
    talk = at_step("immerse", level)
    number = f"{cycle_of(talk).id and number_for(talk)} " if level is Level.BRIEF else ""

    talk.sends(f"IN {number}T2 23", after=1)

    assert put_in(talk) == ["T2"]
    assert talk.happened(Immersed) == []


@pytest.mark.parametrize("step", ["wipe_water", "under", "rinse", "dry", "container", "immerse"])
@pytest.mark.parametrize("said", ["STAINED", "AGAIN"])
def test_S8_stained_or_not_sure_before_the_soak_it_is_cleaned_again(step: str, said: str) -> None:
    """What is soiled is cleaned again before it is disinfected: common practice, no source."""
    talk = at_step(step)

    talk.sends(said, after=60)

    assert [each.because for each in talk.happened(CleaningRestarted)] == [
        "asked" if (step, said) == ("immerse", "AGAIN") else said.lower()
    ]
    assert step_of(talk) == "wipe_detergent"


def test_S2_a_clock_that_jumps_while_a_bath_is_warmed_or_soaked_in_moves_the_soak_along() -> None:
    talk = at_step("immerse")
    talk.sends("IN 19", after=60)
    talk.let(ClockStepped(timedelta(seconds=5)))
    talk.sends(f"IN {number_for(talk)} 23", after=300)
    soak = cycle_of(talk).contact
    assert soak is not None

    talk.let(ClockStepped(timedelta(seconds=5)))

    moved = cycle_of(talk).contact
    assert moved is not None
    assert moved.due - soak.due == timedelta(seconds=5)

"""A bot that has been down does not nudge, tell and give up in one breath."""

from datetime import timedelta

import pytest

from flows.answer import BellIn
from flows.parts.events import CycleAbandoned, Nudged, Released
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def test_S8_a_nudge_that_comes_hours_late_leaves_time_to_answer() -> None:
    talk = clinic()
    talk.sends("CLEAN V1")
    bell = next(bell for bell in talk.clinic.bells.values() if bell.kind == "nudge")
    talk.now += timedelta(hours=3)

    talk.exchange(BellIn(bell.id, talk.now - bell.due))

    (nudged,) = talk.happened(Nudged)
    assert nudged.again_at == talk.now + timedelta(minutes=5)
    assert talk.happened(CycleAbandoned) == []


def down(step: str, hours: float) -> Talk:
    """V1 is at that step, and for so long no bell has rung."""
    talk = clinic()
    play_cycle(talk, until=step)
    talk.now += timedelta(hours=hours)
    talk.wait(seconds=1)
    return talk


@pytest.mark.parametrize("step", ["under", "rinse", "dry", "final_rinse", "final_dry", "cover"])
def test_S8_what_lay_half_cleaned_over_a_night_is_not_gone_on_with(step: str) -> None:
    talk = down(step, 14)

    talk.sends("COVERED", after=20)

    assert [each.because for each in talk.happened(CycleAbandoned)] == ["no_answer"]
    assert talk.happened(Released) == []
    assert any("I have stopped waiting. It is NOT READY." in text for text in talk.heard["ph1"])


@pytest.mark.parametrize(("hours", "given_up"), [(2, True), (1.99, False)])
def test_S8_twice_its_time_is_long_over(hours: float, *, given_up: bool) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    bell = next(bell for bell in talk.clinic.bells.values() if bell.kind == "nudge")
    talk.now += timedelta(hours=hours)

    talk.exchange(BellIn(bell.id, talk.now - bell.due))

    assert (talk.happened(CycleAbandoned) != []) is given_up


def test_S8_S12_a_soak_is_never_given_up() -> None:
    talk = down("soaking", 2)

    assert talk.happened(CycleAbandoned) == []
    assert step_of(talk) != ""

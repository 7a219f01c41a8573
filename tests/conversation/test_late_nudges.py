"""A bot that has been down does not nudge, tell and give up in one breath."""

from datetime import timedelta

from flows.answer import BellIn
from flows.parts.events import CycleAbandoned, Nudged
from tests.kit.talk import clinic


def test_S8_a_nudge_that_comes_hours_late_leaves_time_to_answer() -> None:
    talk = clinic()
    talk.sends("CLEAN V1")
    bell = next(bell for bell in talk.clinic.bells.values() if bell.kind == "nudge")
    talk.now += timedelta(hours=3)

    talk.exchange(BellIn(bell.id, talk.now - bell.due))

    (nudged,) = talk.happened(Nudged)
    assert nudged.again_at == talk.now + timedelta(minutes=5)
    assert talk.happened(CycleAbandoned) == []

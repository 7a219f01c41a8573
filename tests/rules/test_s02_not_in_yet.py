"""S2: an IN that was texted too soon, and is taken back, has begun no soak.

Only OUT and MOVED were known there, and neither fits what was never in; the probe went in minutes
later and came out at the bell of the first text. Source: common practice for what people say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import Immersed, SoakBroken, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def soaking(level: Level = Level.BRIEF) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until="soaking")
    return talk


DENIED = (
    *("sorry, not in yet", "no wait, not in", "oops i have not put it in", "V1 not in yet"),
    *("texted too early", "too early", "it is not in T1 yet", "not fully in", "sorry its not in"),
)


@pytest.mark.parametrize("body", DENIED)
def test_S2_what_is_not_in_does_not_soak(body: str) -> None:
    talk = soaking()

    (heard,) = talk.sends(body, after=20)

    assert heard.startswith("V1: so its soak has not begun. Once it is in T1 to the line")
    assert [each.because for each in talk.happened(SoakBroken)] == ["not_in"]
    talk.sends(f"IN {number_for(talk)} 23", after=60)
    first, again = [each for each in talk.entries if isinstance(each.event, Immersed)]
    assert again.event.due - again.at == first.event.due - first.at


def test_S3_where_it_was_said_to_be_in_for_longer_it_is_cleaned_from_the_start() -> None:
    talk = soaking()

    talk.sends("not in yet", after=6 * 60)

    assert step_of(talk) == "under"
    assert talk.happened(TakenOut) == []


@pytest.mark.parametrize("body", ["not in doubt", "no air in it", "not in T9", "not in?", "not"])
def test_S17_what_may_be_said_of_something_else_breaks_nothing(body: str) -> None:
    talk = soaking()

    talk.sends(body, after=20)

    assert talk.happened(SoakBroken) == []

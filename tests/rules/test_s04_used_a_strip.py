"""S4, S8: USED AN OLD STRIP is no use of a probe; it is said how to tell it of the strips."""

import pytest

from flows.parts.events import AlertRaised, FreeText, StripRead
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic


@pytest.mark.parametrize(
    "body", ["used an old strip", "used a wet strip", "used strips of S1", "used last strip"]
)
@pytest.mark.parametrize("step", ["read", "cover"])
def test_S4_how_to_tell_it_of_the_strips_is_said(step: str, body: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    read = talk.happened(StripRead)

    (text,) = talk.sends(body, after=2)

    assert text == (
        "S1: nothing is noted. Strips wet, old, of another kind? FAULT S1. Used up? DISCARD S1. A "
        "probe was used? USED and its name."
    )
    assert (talk.happened(FreeText), talk.happened(AlertRaised)) == ([], [])
    assert talk.happened(StripRead) == read


@pytest.mark.parametrize(
    "body", ["used 0412 strip not done", "used it, strip was old", "used probe, old strip"]
)
def test_S7_what_may_be_a_use_of_a_probe_is_kept_and_told(body: str) -> None:
    talk = clinic()

    talk.sends(body)

    assert len(talk.happened(FreeText)) == 1


def test_S7_and_where_no_strips_are() -> None:
    talk = clinic(stocked=False)

    talk.sends("used an old strip")

    assert len(talk.happened(FreeText)) == 1

"""S4: IN that was told and not taken, for its number or its reading, has used the strip.

The probe lay in the bath, whatever was lacking in the text; the next soak stood on the strip of
before it. Source: one strip a soak, as in the rule; common practice for what people say.
"""

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import Immersed, PutInBath, StripRead
from tests.kit.cycles import number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic

RESTARTS = (("AGAIN",), ("STAINED",), ("USED V1 0412", "CLEAN V1"))


def was_in(talk: Talk) -> list[tuple[str, str, str]]:
    return [(each.device, each.bath, each.because) for each in talk.happened(PutInBath)]


@pytest.mark.parametrize("restart", RESTARTS)
@pytest.mark.parametrize(
    ("level", "body"),
    [
        *((Level.BRIEF, body) for body in ("in 22", "IN", "its in now", "it is in 22")),
        *((Level.BRIEF, body) for body in ("in 23 not dried", "V1 in 23 but it was wet")),
        *(
            (Level.COACH, body)
            for body in ("IN 68", "IN 23, ok?", "IN 23\nwhen out?", "V1 in T1", "in")
        ),
    ],
)
def test_S4_a_restart_after_it_has_a_strip_of_its_own(
    level: Level, body: str, restart: tuple[str, ...]
) -> None:
    talk = clinic(level=level)
    play_cycle(talk, until="immerse")

    talk.sends(body, after=20)
    asked = step_of(talk)
    for each in restart:
        talk.sends(each, after=20)
    play_cycle(talk)

    assert asked == "immerse"
    assert was_in(talk) == [("V1", "T1", "told")]
    assert len(talk.happened(StripRead)) == 2
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S5_told_rightly_then_it_is_one_soak_on_that_strip() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    for body in ("IN", "IN 68", "IN 23"):
        talk.sends(body, after=20)
    play_cycle(talk)

    assert was_in(talk) == [("V1", "T1", "told")]
    assert talk.clinic.containers["T1"].uses == len(talk.happened(Immersed)) == 1
    assert len(talk.happened(StripRead)) == 1


@pytest.mark.parametrize(
    "body", ["in 5 min", "in now?", "in T1?", "ok", "in room 2", "not in", "in 20 min drying it"]
)
def test_S4_what_tells_of_no_in_uses_nothing(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    talk.sends(body, after=20)

    assert was_in(talk) == []


@pytest.mark.parametrize("more", ["not dried", "but it was still wet", "forgot gloves"])
def test_S1_what_else_was_told_with_it_may_be_why_it_must_not_stay_there(more: str) -> None:
    """AGAIN was offered, and the next soak stood on the strip of a bath that was thinned."""
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="immerse")

    heard = talk.sends(f"in {number_for(talk)} 23 {more}", after=60)

    assert heard[0].startswith("Only that V1 was in T1 is noted. Wet, not clean, not alone there?")
    assert talk.happened(Immersed) == []
    assert was_in(talk) == [("V1", "T1", "told")]

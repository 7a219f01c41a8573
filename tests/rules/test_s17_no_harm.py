"""S17: words of no harm beside a name are no bad news, and nobody's contact is called for them."""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import NotUnderstood, PutInBath, SoakBroken
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def at(step: str) -> Talk:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until=step)
    return talk


@pytest.mark.parametrize("step", ["inspect", "rinse", "dry", "soaking", "final_dry", "cover"])
@pytest.mark.parametrize(
    "body",
    [
        *("V1 ok", "V1 all good", "V1 is fine", "V1 waiting", "V1 soaking ok", "V1 is clean"),
        *("T1 ok", "T1 labelled", "lid on T1", "B1 half full", "S1 fine", "T1 test"),
    ],
)
def test_S17_the_question_is_put_again_and_no_miss_is_counted(step: str, body: str) -> None:
    talk = at(step)

    heard = talk.sends(body, after=20)

    assert len(heard) == 1
    assert not heard[0].startswith("About")
    assert (step_of(talk), talk.happened(NotUnderstood)) == (step, [])
    assert (talk.happened(SoakBroken), talk.happened(PutInBath)) == ([], [])


@pytest.mark.parametrize("body", ["T1 not ok", "V1 fine but wet plug", "T1 not full"])
def test_S8_with_any_other_word_it_may_be_bad_news(body: str) -> None:
    heard = at("cover").sends(body, after=20)

    assert heard[0].startswith("About")


@pytest.mark.parametrize(
    ("body", "command"),
    [
        *(("T1 test", "TEST T1"), ("testing T1", "TEST T1"), ("poured J1", "POUR J1")),
        *(("V1 clean", "CLEAN V1"), ("start V1", "CLEAN V1"), ("cleaning V1 now", "CLEAN V1")),
    ],
)
def test_S17_a_command_behind_its_name_is_asked_back(body: str, command: str) -> None:
    (text,) = at("").sends(body, after=200)

    assert text == f"Did you mean {command}? If so, text just that. Nothing is noted yet."


@pytest.mark.parametrize("body", ["T1 ready", "V1 is fine", "poured T1", "T1 clean", "T1 B1 test"])
def test_S17_what_is_no_command_gets_the_way_in(body: str) -> None:
    (text,) = at("").sends(body, after=200)

    assert text.startswith("I did not understand that.")

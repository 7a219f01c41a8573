"""S7, S8: a word that nobody has read is said to be not noted; no list of bad news is whole."""

import pytest

from flows.parts.clinic import Level
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

ABOUT_THE_BATH = (
    "Not understood: nothing is noted. T1 or its strip not good? FAULT T1. Something added? "
    "TOPPED T1. V1 not in, moved, in doubt? V1 {word}."
)
ABOUT_THE_STRIP = (
    "I did not understand that: nothing is noted. Strips wet, old, of another kind? FAULT S1. T1 "
    "not good? FAULT T1."
)
ABOUT_THE_PROBE = "About V1: nothing is noted yet."


def at(step: str, level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until=step)
    return talk


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(("step", "word"), [("immerse", "AGAIN"), ("soaking", "MOVED")])
@pytest.mark.parametrize(
    "body",
    [
        *("i poured a little more in", "added water to it", "it was low so i added water"),
        *("warmed it with hot water", "diluted it", "changed the bath, fresh OPA in"),
        *("the cat licked it", "overflowed", "it smells funny", "added hot water, is that ok?"),
        "added hot water, now in 67 22",
    ],
)
def test_S6_what_befalls_a_bath_is_never_answered_as_if_all_were_well(
    body: str, step: str, word: str, level: Level
) -> None:
    talk = at(step, level)

    heard = talk.sends(body, after=20)

    assert heard[0] == ABOUT_THE_BATH.format(word=word)
    assert step_of(talk) == step


@pytest.mark.parametrize(
    "body",
    ["it was open all night", "strips expired in january", "dipped it twice", "old strip"],
)
def test_S4_what_befalls_a_strip_is_never_answered_as_if_all_were_well(body: str) -> None:
    talk = at("read")

    heard = talk.sends(body, after=20)

    assert heard[0] == ABOUT_THE_STRIP
    assert step_of(talk) == "read"


@pytest.mark.parametrize("step", ["rinse", "dry", "final_dry", "cover"])
@pytest.mark.parametrize("body", ["the cat licked it", "lens chipped", "wiped with a used towel"])
def test_S8_what_befalls_a_probe_is_never_answered_as_if_all_were_well(
    body: str, step: str
) -> None:
    heard = at(step).sends(body, after=20)

    assert heard[0].startswith(ABOUT_THE_PROBE)
    assert len(heard) == 1 + 1  # and its question, which is still open


@pytest.mark.parametrize("body", ["covered, towel from the floor", "covered, the floor was wet"])
def test_S8_an_answer_with_more_beside_it_is_said_to_be_not_noted(body: str) -> None:
    talk = at("cover")

    heard = talk.sends(body, after=200)

    assert heard[0] == "I did not understand that: nothing of it is noted."
    assert step_of(talk) == "cover"


@pytest.mark.parametrize("step", ["read", "immerse", "soaking", "cover"])
@pytest.mark.parametrize(
    "body", ["how long?", "one moment pls", "still busy", "not yet", "what now", "OK what next"]
)
def test_S17_what_people_say_while_they_work_gets_the_question_alone(body: str, step: str) -> None:
    assert len(at(step).sends(body, after=5)) == 1


@pytest.mark.parametrize("step", ["codes", "cautions", "inspect"])
def test_S17_where_nothing_is_done_yet_the_question_is_enough(step: str) -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("CLEAN V1", after=60)
    play_cycle(talk, until=step)

    assert len(talk.sends("the towels are all gone", after=5)) == 1


def test_S17_one_odd_word_is_no_news_of_a_probe_by_itself() -> None:
    assert len(at("dry").sends("hm", after=5)) == 1


@pytest.mark.parametrize(("body", "heard"), [("driedd", 1), ("drid with the dirty towel", 2)])
def test_S17_a_slip_is_asked_back_where_nothing_else_is_said(body: str, heard: int) -> None:
    assert len(at("final_dry").sends(body, after=20)) == heard

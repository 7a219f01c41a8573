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
NOTHING_OF_IT = (
    "I did not understand that: nothing of it is noted. Is a bath, bottle, strip or probe not "
    "good? FAULT and its name, like FAULT J1."
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

    assert heard[0] == NOTHING_OF_IT
    assert step_of(talk) == "cover"


@pytest.mark.parametrize("step", ["read", "immerse", "soaking", "cover"])
@pytest.mark.parametrize(
    "body", ["how long?", "one moment pls", "still busy", "not yet", "what now", "OK what next"]
)
def test_S17_what_people_say_while_they_work_gets_the_question_alone(body: str, step: str) -> None:
    assert len(at(step).sends(body, after=5)) == 1


@pytest.mark.parametrize("step", ["codes", "cautions", "inspect"])
@pytest.mark.parametrize("body", ["someone added water to the bath", "the strips are wet"])
def test_S4_bad_news_of_a_bath_is_said_to_be_not_noted_before_a_cleaning_too(
    body: str, step: str
) -> None:
    talk = clinic()
    if step == "codes":
        play_cycle(talk)
    play_cycle(talk, until=step)

    assert talk.sends(body, after=5)[0] == NOTHING_OF_IT


@pytest.mark.parametrize("step", ["codes", "cautions", "inspect"])
def test_S17_one_word_before_a_cleaning_gets_the_question_alone(step: str) -> None:
    talk = clinic()
    if step == "codes":
        play_cycle(talk)
    play_cycle(talk, until=step)

    assert len(talk.sends("Amina", after=5)) == 1


@pytest.mark.parametrize("step", ["dry", "final_rinse", "cover"])
@pytest.mark.parametrize("body", ["leaking", "peeling", "cloudy", "defective", "fell"])
def test_S8_one_word_of_bad_news_is_never_answered_as_if_all_were_well(
    body: str, step: str
) -> None:
    assert at(step).sends(body, after=5)[0].startswith(ABOUT_THE_PROBE)


@pytest.mark.parametrize("body", ["it fell", "leaks", "blood in it", "dropped"])
def test_S13_damage_at_under_is_asked_about_though_its_text_does_not_name_it(body: str) -> None:
    assert at("under").sends(body, after=60)[0].startswith(ABOUT_THE_PROBE)


@pytest.mark.parametrize("body", ["half out", "it is half in", "second probe in it", "both in"])
def test_S3_small_words_may_tell_of_a_soak(body: str) -> None:
    heard = at("soaking").sends(body, after=60)

    assert "T1" in heard[0]
    assert not heard[0].startswith("V1 stays in T1")


@pytest.mark.parametrize("body", ["half an hour", "one second", "5 seconds", "hm", "eh"])
def test_S17_what_only_counts_time_tells_of_nothing(body: str) -> None:
    assert len(at("soaking").sends(body, after=60)) == 1


@pytest.mark.parametrize("first", ["OPEN", "OPEN 270331", "OPEN STRIPS", "OPEN STRIPS 270331"])
@pytest.mark.parametrize("body", ["it is cloudy", "looks brown", "lid was off", "it was frozen"])
def test_S5_what_is_opened_and_not_good_is_not_to_be_used(body: str, first: str) -> None:
    talk = clinic()
    talk.sends(first)

    heard = talk.sends(body, after=20)

    assert heard[0] == (
        "I did not understand that: nothing is noted. Is what you open not good, open before, in "
        "doubt? Do not use it: put it aside, and take another."
    )


@pytest.mark.parametrize(("body", "heard"), [("driedd", 1), ("drid with the dirty towel", 2)])
def test_S17_a_slip_is_asked_back_where_nothing_else_is_said(body: str, heard: int) -> None:
    assert len(at("final_dry").sends(body, after=20)) == heard

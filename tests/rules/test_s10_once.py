"""S10: one text is handled once; an answer answers only the question that is open now."""

from datetime import timedelta
from itertools import pairwise

import pytest

from flows.catalogue import FLOWS
from flows.parts.clinic import Level
from flows.parts.events import (
    AnsweredTooSoon,
    DetergentSoakEnded,
    NotUnderstood,
    TakenOut,
)
from flows.words import ANSWERS
from tests.kit.cycles import (
    ANSWERS as GOOD_ANSWERS,
)
from tests.kit.cycles import (
    arrives,
    cycle_of,
    number_for,
    play_cycle,
    step_of,
    thread_of,
)
from tests.kit.talk import clinic

ONE_WORD = (
    "inspect",
    "wipe_detergent",
    "wipe_water",
    "wipe_disinfectant",
    "wipe_rinse",
    "mix",
    "under",
    "dry",
    "container",
    "final_rinse",
    "final_dry",
    "final_inspect",
    "cover",
)


def test_S10_no_answer_word_of_a_step_answers_the_next_or_the_one_after() -> None:
    steps = FLOWS["cycle"].steps
    asked = [steps[name] for name in ONE_WORD]

    for one, next_one in pairwise(asked):
        assert not set(one.answers) & set(next_one.answers) - {"damaged", "unsure"}
    assert len({step.answers[0] for step in asked}) == len(asked)


def test_S10_every_answer_word_is_a_word_of_its_own() -> None:
    words = [text.english for text in ANSWERS.values()]

    assert len(set(words)) == len(words)


@pytest.mark.parametrize("step", ONE_WORD[:-1])
def test_S10_an_answer_doubled_by_a_carrier_neither_answers_nor_counts_as_a_miss(
    step: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    said = GOOD_ANSWERS[step]
    talk.sends(said, after=190)
    done, asked = step_of(talk), cycle_of(talk).done

    doubled = talk.sends(said, after=30)

    assert (step_of(talk), cycle_of(talk).done) == (done, asked)
    assert talk.happened(NotUnderstood) == []
    assert len(doubled) == 1


def test_S10_a_doubled_numbered_answer_is_asked_about_and_answers_nothing() -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")
    body = f"rinsed {number_for(talk)}"
    talk.sends(body, after=20)

    talk.sends(body, after=20)

    assert step_of(talk) == "dry"
    assert len(talk.happened(DetergentSoakEnded)) == 1


def test_S10_a_doubled_out_ends_one_soak() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.wait(minutes=13)
    body = f"OUT {number_for(talk)}"
    talk.sends(body, after=20)

    talk.sends(body, after=20)

    assert len(talk.happened(TakenOut)) == 1
    assert step_of(talk) == "final_rinse"


# -- quicker than hands can move ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "least_s"),
    [
        ("wipe_detergent", 5),
        ("wipe_water", 5),
        ("wipe_disinfectant", 5),
        ("wipe_rinse", 60),
        ("mix", 3),
        ("under", 10),
        ("dry", 5),
        ("container", 3),
        ("final_rinse", 180),
        ("final_dry", 5),
        ("cover", 3),
    ],
)
@pytest.mark.parametrize("short_by", [timedelta(0), timedelta(microseconds=1)])
def test_S10_an_answer_quicker_than_hands_can_move_is_asked_about(
    step: str, least_s: int, short_by: timedelta
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    talk.now = thread_of(talk, "V1").asked_at  # type: ignore[union-attr]

    talk.sends(GOOD_ANSWERS[step], after=least_s - short_by.total_seconds())

    too_soon = [event.step for event in talk.happened(AnsweredTooSoon)]
    assert too_soon == ([step] if short_by else [])
    assert (step_of(talk) == step) is bool(short_by)


@pytest.mark.parametrize(("step", "least_s"), [("under", 80), ("immerse", 15), ("cover", 180)])
@pytest.mark.parametrize("short_by", [timedelta(0), timedelta(microseconds=1)])
def test_S10_on_brief_texts_one_answer_takes_the_time_of_all_it_states(
    step: str, least_s: int, short_by: timedelta
) -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until=step)
    said = f"in {number_for(talk)} 23" if step == "immerse" else GOOD_ANSWERS[step]

    talk.sends(said, after=least_s - short_by.total_seconds())

    assert (step_of(talk) == step) is bool(short_by)


@pytest.mark.parametrize("short_by", [timedelta(0), timedelta(microseconds=1)])
def test_S10_in_and_rinsed_take_a_moment_too(short_by: timedelta) -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")
    talk.sends(f"rinsed {number_for(talk)}", after=5 - short_by.total_seconds())
    rinsed = step_of(talk)
    play_cycle(talk, until="immerse")

    talk.sends("in 23", after=3 - short_by.total_seconds())

    assert (rinsed == "rinse") is bool(short_by)
    assert (step_of(talk) == "immerse") is bool(short_by)


def test_S10_the_question_about_it_names_the_word_and_the_time_it_took() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    (text,) = talk.sends("Dry.", after=2)

    assert text.startswith("That was quick.")
    assert text.endswith("When it is really done, reply DRY again.")
    assert talk.happened(AnsweredTooSoon)[0].after == timedelta(seconds=2)


def test_S10_an_answer_sent_before_it_was_asked_is_too_quick_and_took_no_time() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    before = talk.now - timedelta(minutes=1)
    talk.wait(minutes=2)

    arrives(talk, "dry", before)

    assert step_of(talk) == "dry"
    assert talk.happened(AnsweredTooSoon)[0].after == timedelta(0)


def test_S10_said_again_in_time_it_is_taken() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.sends("dry", after=2)

    talk.sends("dry", after=4)

    assert step_of(talk) == "container"


@pytest.mark.parametrize(
    ("step", "said"),
    [("inspect", "damaged"), ("under", "damaged"), ("final_inspect", "stained")],
)
def test_S10_bad_news_is_never_too_quick(step: str, said: str) -> None:
    talk = clinic(level=Level.BRIEF if step == "under" else Level.COACH)
    play_cycle(talk, until=step)

    talk.sends(said)

    assert talk.happened(AnsweredTooSoon) == []
    assert step_of(talk) != step

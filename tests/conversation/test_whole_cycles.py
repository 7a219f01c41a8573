"""A whole cycle at either level: how many texts it costs, and that each asks for one act."""

import re

import pytest

from bot.texts.segments import segments
from flows.parts.clinic import Level, Standing
from flows.parts.decision import Outcome
from flows.parts.events import Released, StepDone
from flows.replies.typed import fold
from flows.words import ANSWERS, COMMANDS
from tests.kit.cycles import Played, cycle_of, play_cycle, step_of
from tests.kit.talk import Talk, clinic

MOST = {Level.COACH: 44, Level.BRIEF: 18}
"""Segments in and out, the cautions of a new shift included. Source: common practice, none
published; a bundle of 50 texts must last a coached cycle."""

LOOKS = {"DAMAGED", "UNSURE", "STAINED", "DRAPED", "MOVED", "AGAIN"}
"""Answers that say how a look turned out; they ask for no second act."""


def cost(played: Played) -> int:
    """Segments in and out on the worker's phone."""
    return sum(segments(text).count for text in [*played.sent, *played.heard])


@pytest.mark.parametrize("level", list(Level))
def test_the_first_cycle_of_a_shift_with_its_cautions_costs_at_most_so_many_segments(
    level: Level,
) -> None:
    talk = clinic(level=level)

    played = play_cycle(talk)

    assert any(text.startswith("Gloves, goggles, gown") for text in played.heard)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert cost(played) <= MOST[level]


@pytest.mark.parametrize(
    ("level", "first", "later"), [(Level.COACH, 43, 41), (Level.BRIEF, 18, 16)]
)
def test_what_a_cycle_costs_is_known(level: Level, first: int, later: int) -> None:
    talk = clinic(level=level)

    one = play_cycle(talk)
    talk.sends("USED V1 0412", after=60)
    two = play_cycle(talk)

    assert (cost(one), cost(two)) == (first, later)
    assert two.heard[-1].startswith("V1 READY until ")


@pytest.mark.parametrize("level", list(Level))
def test_every_text_of_a_cycle_is_one_segment(level: Level) -> None:
    talk = clinic(level=level, stocked=False)

    play_cycle(talk)

    assert {segments(text).count for texts in talk.heard.values() for text in texts} == {1}
    assert all(segments(text).gsm for texts in talk.heard.values() for text in texts)


def test_each_coached_answer_states_one_act() -> None:
    talk = clinic(level=Level.COACH)
    stated: list[int] = []

    def count(_: Talk, outcome: Outcome) -> None:
        stated.append(sum(isinstance(event, StepDone) for event in outcome.events))

    talk.watching = count
    play_cycle(talk)

    assert max(stated) == 1
    assert sum(stated) == len(talk.happened(StepDone))


def test_each_coached_question_names_one_answer_that_an_act_earns() -> None:
    talk = clinic(level=Level.COACH)
    words = {fold(text.english) for text in ANSWERS.values()} - LOOKS
    asked: dict[str, set[str]] = {}

    def note(now: Talk, _: Outcome) -> None:
        if step := step_of(now) if now.clinic.devices["V1"].cycle else "":
            asked[step] = set(re.findall(r"\b[A-Z]{2,}\b", now.last())) & words

    talk.watching = note
    play_cycle(talk)

    assert {step: len(named) for step, named in asked.items() if len(named) != 1} == {
        "read": 0,  # a figure answers it
        "await_detergent": 0,  # nothing does: the bell is waited for
    }
    assert len(asked) > 18


def test_a_coached_cycle_from_an_empty_shelf_leads_through_jug_bottle_bath_and_strips() -> None:
    talk = clinic(stocked=False)

    played = play_cycle(talk)

    assert list(talk.clinic.containers) == ["J1", "B1", "T1"]
    assert list(talk.clinic.strips) == ["S1"]
    assert played.heard[-1].startswith("V1 READY until ")


def test_a_brief_cycle_from_an_empty_shelf_too() -> None:
    talk = clinic(level=Level.BRIEF, stocked=False)

    played = play_cycle(talk)

    assert list(talk.clinic.containers) == ["J1", "B1", "T1"]
    assert played.heard[-1].startswith("V1 READY until ")


def test_whoever_is_coached_becomes_brief_in_the_middle_and_ends_all_the_same() -> None:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until="wipe_water")

    play_cycle(talk, level=Level.BRIEF)

    assert len(talk.happened(Released)) == 1


def test_clean_alone_means_the_only_device_there_is() -> None:
    talk = clinic()

    talk.sends("clean")

    assert cycle_of(talk).device == "V1"


@pytest.mark.parametrize("body", ["CLEAN", "CLEAN V9"])
def test_where_there_are_more_it_asks_which(body: str) -> None:
    talk = clinic(devices=("V1", "V2", "V3", "V4"))

    assert talk.sends(body) == ["Which device? Here: V1, V2, V3. Like CLEAN V1."]


def test_where_there_is_none_it_says_so() -> None:
    talk = clinic(devices=(), stocked=False)

    assert talk.sends("CLEAN") == ["No device is enrolled here yet. Please ask your contact."]


def test_a_device_in_hand_is_not_begun_again() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    (text,) = talk.sends("CLEAN V1", phone="ph2")

    assert text == ("V1 is being cleaned by Namep1. To carry on with it yourself: TAKE V1.")
    assert len(talk.clinic.cycles) == 1


def test_the_release_code_names_its_device_and_differs_each_time() -> None:
    talk = clinic()

    for _ in range(4):
        play_cycle(talk)

    codes = [event.code for event in talk.happened(Released)]
    assert len(set(codes)) == 4
    assert {code[:3] for code in codes} == {"V1-"}


def test_command_words_and_answers_differ() -> None:
    commands = {fold(text.english) for text in COMMANDS.values()}

    assert commands & {fold(text.english) for text in ANSWERS.values()} == set()

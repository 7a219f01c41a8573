"""S7, S10: a greeting before a fact, a command or an answer takes nothing from it."""

import pytest

from flows.parts.events import (
    CycleBegan,
    DeviceUsed,
    FaultReported,
    NotUnderstood,
    Released,
    UseWithoutCode,
)
from flows.replies.courtesy import ungreeted
from flows.replies.typed import tidy
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic

COMMANDS = {"USED", "CLEAN", "GOOD"}
OURS = {*COMMANDS, "COVERED", "V1"}
GREETINGS = [
    *("hello, ", "Hi ", "hi sister ", "good morning, ", "Good afternoon. ", "Dear Sir,\n"),
    *("GOOD DAY ", "good evening team\n", "Morning! ", "hello hello ", "good morning doctor, "),
]


@pytest.mark.parametrize("greeting", [*GREETINGS, "yes "])
def test_S7_a_use_is_taken_behind_it(greeting: str) -> None:
    talk = clinic()
    play_cycle(talk)

    (text,) = talk.sends(f"{greeting}used V1 0412", after=300)

    assert text.startswith("Noted: V1 on patient 0412.")
    assert [each.patient for each in talk.happened(DeviceUsed)] == ["0412"]
    assert talk.happened(UseWithoutCode) == []


def test_S13_and_a_fault() -> None:
    talk = clinic()

    talk.sends("hello FAULT V1")

    assert [each.device for each in talk.happened(FaultReported)] == ["V1"]


@pytest.mark.parametrize("greeting", [*GREETINGS, "yes "])
def test_S7_a_command_too(greeting: str) -> None:
    talk = clinic()

    talk.sends(f"{greeting}clean V1")

    assert len(talk.happened(CycleBegan)) == 1


@pytest.mark.parametrize("greeting", GREETINGS)
def test_S17_and_an_answer_which_is_no_miss(greeting: str) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends(f"{greeting}covered", after=200)

    assert len(talk.happened(Released)) == 1
    assert talk.happened(NotUnderstood) == []


@pytest.mark.parametrize(
    "text",
    [
        *("hello", "good morning", "yes", "yes covered", "yes used", "good", "good covered"),
        *("not used V1", "sister used V1", "who used V1", "hi 4417", "hey 4417"),
    ],
)
def test_S10_what_only_greets_or_may_answer_stays_as_it_is(text: str) -> None:
    said = tidy(text)

    assert ungreeted(said, COMMANDS, OURS) == said


def test_S10_a_label_that_is_a_greeting_is_a_label() -> None:
    said = tidy("HI used 0412")

    assert ungreeted(said, COMMANDS, {*OURS, "HI"}) == said


def test_S7_each_line_keeps_its_words() -> None:
    said = ungreeted(tidy("Hello sister.\nGood morning, used V1 0412\ncovered"), COMMANDS, OURS)

    assert said.words == ("USED", "V1", "0412", "COVERED")
    assert said.lines == (("USED", "V1", "0412"), ("COVERED",))

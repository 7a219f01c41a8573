"""S8: in doubt, clean again: abandoned, timed out or contradicted leaves a device not ready."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Frame, Standing
from flows.parts.events import CycleAbandoned, Nudged, QuestionAsked, ThreadEnded
from tests.kit.cycles import cycle_of, play_cycle, step_of, thread_of
from tests.kit.talk import Talk, clinic


def nudges(talk: Talk) -> list[tuple[int, timedelta]]:
    asked = talk.happened(QuestionAsked)[-1]
    at = next(each.at for each in reversed(talk.entries) if each.event == asked)
    return [
        (each.event.stage, each.at - at)
        for each in talk.entries
        if isinstance(each.event, Nudged) and each.event.question == asked.question
    ]


def test_S8_nobody_answers_a_nudge_then_somebody_told_then_given_up() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    talk.wait(minutes=61)

    assert nudges(talk) == [
        (1, timedelta(minutes=10)),
        (2, timedelta(minutes=20)),
        (3, timedelta(minutes=60)),
    ]
    assert talk.happened(CycleAbandoned)[0].because == "no_answer"
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.clinic.devices["V1"].why == "abandoned"
    assert talk.clinic.threads == talk.clinic.cycles == {}


def test_S8_both_people_are_told() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    heard = len(talk.heard["ph1"])

    talk.wait(minutes=61)

    assert [text[:20] for text in talk.heard["ph1"][heard:]] == [
        "V1: dried all over? ",
        "V1: dried all over? ",
        "V1: I have stopped w",
    ]
    assert [text[:38] for text in talk.heard["ph9"]] == [
        "V1: its cleaning stands still and nobo",
        "The cleaning of V1 was not finished. I",
    ]


def test_S8_an_answer_before_the_end_is_as_good_as_ever() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.wait(minutes=59)

    talk.sends("dry")

    assert step_of(talk) == "container"
    assert talk.happened(CycleAbandoned) == []


def test_S8_a_new_question_has_its_own_patience() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.wait(minutes=9)
    talk.sends("dry")
    nudged = len(talk.happened(Nudged))

    talk.wait(minutes=9)

    assert len(talk.happened(Nudged)) == nudged


@pytest.mark.parametrize("step", ["soaking", "stayed"])
def test_S8_a_soak_is_never_given_up(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    if step == "stayed":
        talk.sends("TAKE V1", phone="ph2", after=20)
        play_cycle(talk, phone="ph2", until="stayed")

    talk.wait(minutes=600)

    assert step_of(talk) == step
    assert cycle_of(talk).contact is not None
    assert talk.happened(CycleAbandoned) == []


def test_S8_a_test_that_nobody_finishes_is_just_over() -> None:
    talk = clinic()
    talk.sends("TEST T1")

    talk.wait(minutes=61)

    assert talk.clinic.threads == {}
    assert talk.happened(ThreadEnded)[-1].because == "no_answer"
    assert talk.happened(CycleAbandoned) == []
    assert "ph9" not in talk.heard


# -- versions in flight -------------------------------------------------------------------------


def with_a_step_gone(talk: Talk) -> None:
    """As after an upgrade: the open question's step is in no table any more."""
    thread = thread_of(talk, "V1")
    assert thread is not None
    talk.let(
        QuestionAsked(
            thread=thread.id,
            phone=thread.phone,
            person=thread.person,
            question=thread.question + 1,
            frames=(Frame("cycle", "gone"),),
            slug="gone",
            cycle=thread.cycle,
            nudge_at=talk.now + timedelta(minutes=10),
        )
    )


@pytest.mark.parametrize("how", ["an answer", "no answer", "a hand-over"])
def test_S8_an_open_question_whose_step_is_gone_abandons_the_cycle_and_tells_both(
    how: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    with_a_step_gone(talk)
    phone = "ph2" if how == "a hand-over" else "ph1"

    if how == "an answer":
        talk.sends("dry")
    elif how == "no answer":
        talk.wait(minutes=11)
    else:
        talk.sends("TAKE V1", phone="ph2")
        talk.sends("ready", phone="ph2", after=20)

    assert [event.because for event in talk.happened(CycleAbandoned)] == ["step_gone"]
    assert talk.last(phone).startswith("I have lost the thread after an update.")
    assert talk.heard["ph9"][-1].startswith("The cleaning of V1 was not finished.")
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.clinic.threads == {}
    assert [*talk.clinic.bells] == ["morning"]

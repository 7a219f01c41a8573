"""S10 on every path: questions near each other take different words; none is a carrier's own."""

from collections.abc import Iterator

from flows.catalogue import FLOWS
from flows.parts import events as e
from flows.parts.clinic import Thread
from flows.walk import Edge, Text, Walk
from flows.walk.inputs import device_of, right_answers
from flows.words import RESERVED, WORDS
from tests.conversation.walked import in_every_clinic, walked

NEAR = 2
"""The next question, and the one after it."""

TAKEN_AS_SAID = {"IN", "OUT"}
"""Said again they break a soak or begin it anew, or must bear a number: see the doubled texts."""


def answered(walk: Walk, state: int) -> Iterator[tuple[Edge, Thread, str]]:
    """The ways on by the answer that carries the work: the edge, whose question, the word."""
    for edge in walk.edges.get(state, []):
        if not isinstance(edge.input, Text):
            continue
        for thread in edge.before.clinic.threads.values():
            word = _word(edge, thread)
            if word and thread.id in _went_on(edge):
                yield edge, thread, word


def _went_on(edge: Edge) -> set[str]:
    """The conversations that were asked something else by what came in, or ended."""
    moved = (e.QuestionAsked, e.ThreadEnded)
    return {each.thread for each in edge.outcome.events if isinstance(each, moved)}


def _word(edge: Edge, thread: Thread) -> str:
    """The word of the one right answer to that question, if that is what was said."""
    step = FLOWS[thread.top.flow].step(thread.top.step)
    assert step is not None
    assert isinstance(edge.input, Text)
    label = f"{device_of(edge.before.clinic, thread)} "
    body = edge.input.body.removeprefix(label)
    right = {said for strays, said in right_answers(edge.before, thread, step) if strays == 0}
    return body if edge.input.phone == thread.phone and body in right else ""


def near(walk: Walk, state: int, thread: str, left: int = NEAR) -> Iterator[str]:
    """The words that the next questions of that conversation take."""
    for edge, asked, word in answered(walk, state):
        if asked.id == thread:
            yield word
            if left > 1:
                yield from near(walk, edge.to, thread, left - 1)


@in_every_clinic
def test_S10_no_question_takes_the_word_of_one_near_before_it(name: str) -> None:
    walk = walked(name)
    shared = {
        (f"{thread.top.flow}/{thread.top.step}", word)
        for state in list(walk.edges)[:400]
        for edge, thread, word in answered(walk, state)
        if word.split()[0] not in TAKEN_AS_SAID and word in set(near(walk, edge.to, thread.id))
    }

    assert shared == set()


def test_S10_no_word_that_carriers_act_on_is_expected_or_begins_an_answer() -> None:
    words = {text.english for text in WORDS.values()}

    assert not words & RESERVED


def test_S10_every_answer_of_every_step_is_a_word_of_the_table() -> None:
    answers = {
        slug for flow in FLOWS.values() for step in flow.steps.values() for slug in step.answers
    }

    assert answers <= set(WORDS)

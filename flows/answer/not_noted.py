"""What was answered in part, in turn or with a question mark is told to be not noted yet (S10)."""

from itertools import takewhile

from flows.answer.draft import Draft
from flows.catalogue import FLOWS
from flows.cycle.disinfect import example_in
from flows.parts.clinic import Thread
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.numbers import is_figure
from flows.replies.tags import TAG
from flows.replies.typed import Typed, fold_ours

LONGEST_ANSWER = 16
TAKE_IN = frozenset({"immerse", "warm", "back_in"})
BEAR_A_FIGURE = TAKE_IN | {"soaking"}
"""OUT? and IN? by themselves ask when, or whether to."""
NEXT_STEPS = 2
"""How far ahead hands may be: what is said of later steps is of another cleaning, or a slip."""


def not_noted(draft: Draft, thread: Thread, why: NotUnderstood) -> Text | None:
    """S2, S10: that its number is missing, or that it reads as a question; None for the rest."""
    step = FLOWS[thread.top.flow].step(thread.top.step)
    is_in = thread.top.flow == "cycle" and thread.top.step in TAKE_IN
    if is_in and why.hint != "question":
        return _all_of_it(draft, thread, why)
    if step is None or draft.typed is None or why.hint not in {"question", "bell number"}:
        return None
    if why.hint == "question" and thread.top.flow in {"cycle", "strip_test"}:
        return _is_that_a_question(draft, step, draft.typed)
    return _its_number(thread) if (step.name, why.hint) == ("rinse", "bell number") else None


def _all_of_it(draft: Draft, thread: Thread, why: NotUnderstood) -> Text | None:
    """S2, S17: what was lacking, by itself, answers nothing: all of the text is asked for."""
    if why.hint in {"bell number", "wrong number"}:
        return say(
            "hearing.number.in",
            "The number in my last text is missing or another. Please send all of it once more, "
            "like {example}",
            example=example_in(draft.situation(thread)),
        )
    if why.hint != "unit" or why.value is None or draft.typed is None:
        return None
    return say(
        "hearing.unit.in",
        "C or F? If it was F, that is {celsius} C. Please send all of it once more: {example} C, "
        "or {example} F.",
        celsius=why.value,
        example=" ".join(draft.typed.words[:3])[:LONGEST_ANSWER],
    )


def _is_that_a_question(draft: Draft, step: Step, typed: Typed) -> Text | None:
    words = draft.vocabulary(draft.person).words
    first, *rest = typed.words or ("",)
    bears = [*takewhile(lambda each: TAG.fullmatch(each) or is_figure(each), rest[:3])]
    is_answer = first in {fold_ours(words[slug]) for slug in step.answers if slug != "again"}
    if not (is_figure(first) or is_answer) or (step.name in BEAR_A_FIGURE and not bears):
        return None
    return say(
        "hearing.a_question",
        "Is that a question? Nothing is noted yet. If it is so, reply {example}",
        example=" ".join((first, *bears))[:LONGEST_ANSWER],
    )


def _its_number(thread: Thread) -> Text:
    return say(
        "hearing.number.none",
        "The number is missing: {rinsed} {number}",
        number=thread.number or 0,
    )


def out_of_turn(draft: Draft, thread: Thread) -> Text | None:
    """S10: DRY where RINSED is asked for: that one was not heard, and this one is not noted."""
    flow = FLOWS[thread.top.flow]
    names = list(flow.steps)
    if thread.top.flow != "cycle" or draft.typed is None or thread.top.step not in names:
        return None
    at = names.index(thread.top.step)
    words = draft.vocabulary(draft.person).words
    ahead = [flow.steps[each] for each in names[at + 1 : at + 1 + NEXT_STEPS]]
    now = flow.steps[thread.top.step].answers
    slugs = {slug for each in ahead for slug in each.answers[:1]}.difference(now)
    due = {fold_ours(words[slug]) for slug in slugs}
    if due.isdisjoint(draft.typed.words[:1]):
        return None
    return say(
        "hearing.out_of_turn",
        "Your {word} is not noted yet. This comes first:",
        word=draft.typed.words[0],
    )

"""A malformed flow, or a step asked for what it has not, says so; it never guesses."""

from dataclasses import replace
from types import MappingProxyType

import pytest

from flows.answer import landing
from flows.answer.draft import NOBODY
from flows.catalogue import FLOWS
from flows.cycle.asking import never
from flows.parts.clinic import Clinic, Frame, Thread
from flows.parts.decision import Decision, go
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.step import MalformedFlowError, Step, flow
from flows.parts.text import say
from flows.words import ENGLISH
from tests.kit.talk import NINE, clinic, shipped_protocol

STEP = Step("one", never, never, never, never)


def situation(thread: Thread | None = None) -> Situation:
    return Situation(
        clinic=Clinic(),
        phone=NOBODY,
        person=None,
        vocabulary=ENGLISH,
        today=lambda _: shipped_protocol(),
        history=lambda _: (),
        names={},
        thread=thread,
    )


def test_two_steps_of_one_name_are_no_flow() -> None:
    with pytest.raises(MalformedFlowError, match="two steps called one"):
        flow("a", STEP, STEP)


@pytest.mark.parametrize(("old", "new"), [("was", "nowhere"), ("one", "one")])
def test_an_alias_to_nowhere_or_over_a_step_is_no_flow(old: str, new: str) -> None:
    with pytest.raises(MalformedFlowError, match=f"alias {old} -> {new}"):
        flow("a", STEP, aliases={old: new})


def test_a_renamed_step_answers_to_its_old_name() -> None:
    made = flow("a", STEP, aliases={"was": "one"})

    assert made.step("was") == made.step("one") == STEP
    assert made.step("never") is None


def test_every_flow_keeps_its_steps_by_their_own_names() -> None:
    for name, held in FLOWS.items():
        assert held.name == name
        assert [step.name for step in held.steps.values()] == list(held.steps)


def test_steps_that_hand_on_to_one_another_for_ever_are_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    ring = replace(STEP, skips=lambda *_: Decision(then=go("one")))
    cycle = flow("cycle", ring, aliases={"codes": "one"})
    monkeypatch.setattr(landing, "FLOWS", MappingProxyType({"cycle": cycle}))
    talk = clinic()

    with pytest.raises(landing.RunsInARingError, match="cycle/one leads nowhere but on"):
        talk.sends("CLEAN V1")


@pytest.mark.parametrize("name", ["bath", "bath_tested"])
def test_a_step_that_only_leads_on_cannot_be_asked(name: str) -> None:
    step = FLOWS["cycle"].steps[name]

    with pytest.raises(LookupError, match="leads on by itself"):
        step.asks(situation())


def test_what_is_not_there_is_an_error_and_not_a_guess() -> None:
    nothing = situation()
    idle = situation(Thread("t", "ph", "p", (Frame("cycle", "dry"),), 1, NINE, cycle="gone"))

    with pytest.raises(LookupError, match="has not been opened"):
        _ = nothing.site
    with pytest.raises(LookupError, match="Nobody has signed in"):
        _ = nothing.who
    with pytest.raises(LookupError, match="No question is open"):
        _ = nothing.open
    with pytest.raises(LookupError, match="has no open cycle"):
        _ = idle.cycle
    with pytest.raises(LookupError, match="there is none"):
        typed(nothing)


def test_a_text_is_made_of_its_slug_its_english_and_its_values() -> None:
    text = say("a.slug", "{device} is here", device="V1")

    assert (text.slug, text.english, dict(text.values)) == (
        "a.slug",
        "{device} is here",
        {"device": "V1"},
    )

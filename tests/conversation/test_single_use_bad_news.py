"""S4, S5: bad news of the bleach beside FRESH is not noted, and says how to tell it."""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import EvidenceStated
from tests.conversation.test_single_use import asked, baths
from tests.kit.cycles import step_of

OF_THE_BLEACH = "Not understood: nothing is noted. J1 out of date,"


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("step", ["single_use_mixed", "to_wipe_mixed"])
@pytest.mark.parametrize(
    "body", ["fresh, bleach expired", "J1 expired, fresh", "old bleach", "fresh\nbleach is old"]
)
def test_S5_bad_news_of_the_bleach_is_not_answered_as_if_all_were_well(
    body: str, step: str, level: Level
) -> None:
    talk = asked(step, level)

    first, again = talk.sends(body, after=60)

    assert first.startswith(OF_THE_BLEACH)
    assert again.startswith("Gloves, goggles, air.")
    assert step_of(talk) == step


@pytest.mark.parametrize("body", ["tub was wet", "not boiled", "gloves on", "mixing"])
def test_S4_what_the_question_itself_asks_is_asked_once_more(body: str) -> None:
    talk = asked("single_use_mixed")

    (again,) = talk.sends(body, after=60)

    assert again.endswith("All so: FRESH. Not all, not sure: UNSURE.")


@pytest.mark.parametrize("body", ["not sure", "I am not sure", "im not sure, thanks"])
def test_S4_not_sure_of_what_was_mixed_is_unsure(body: str) -> None:
    said, meant = asked("single_use_mixed"), asked("single_use_mixed")

    assert said.sends(body, after=60) == meant.sends("unsure", after=60)

    assert step_of(said) == step_of(meant) != "single_use_mixed"
    assert said.happened(EvidenceStated) == []
    assert baths(said) == baths(meant)


def test_S4_not_sure_with_a_question_mark_is_no_answer() -> None:
    talk = asked("single_use_mixed")

    talk.sends("not sure?", after=60)

    assert step_of(talk) == "single_use_mixed"

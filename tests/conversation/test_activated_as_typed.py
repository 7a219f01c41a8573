"""ACTIVATED with more words: a day is read, and what may change the answer is asked back (S5).

Glutaraldehyde 3.0 % is good for 28 days once activated. Source: FDA 510(k) K974062, 1998.
"""

from datetime import timedelta

import pytest

from flows.parts.events import ContainerCondemned, JugActivated
from tests.conversation.test_activated import MIDNIGHT, activated, asked
from tests.kit.cycles import step_of
from tests.kit.talk import Talk

WITH_ITS_DAY = """
activated 260220; ACTIVATED: 260220; activated on 20 feb 26; active since 20/02/26
it was activated 260220; J1 activated 260220; 260220 activated
"""
MAY_BE_ANOTHER = """
activated yesterday; activated last week; activated 3 weeks ago; activated before; activated no
activated 10 days ago; activated on monday; activated not yet; activated?; activated 260220?
activated unsure; activated it; activated 8:00; J9 activated; activated J2; not activated
active yesterday; not activated it just now
activated 03/26; activate; was activated; is active; it is activated; J1 is active; J1 active
"""


def each_of(texts: str) -> list[str]:
    return [each.strip() for line in texts.split("\n") for each in line.split(";") if each]


@pytest.mark.parametrize("body", each_of(WITH_ITS_DAY))
def test_S5_a_day_behind_the_word_is_the_day_that_counts(body: str) -> None:
    """Taken as activated just now, a dead jug had four weeks more."""
    talk = asked()

    talk.sends(body, after=60)

    assert activated(talk).activated == MIDNIGHT - timedelta(days=10)
    assert activated(talk).discard_by == MIDNIGHT + timedelta(days=18)


@pytest.mark.parametrize("body", each_of(MAY_BE_ANOTHER))
def test_S5_what_may_be_another_answer_is_asked_back(body: str) -> None:
    talk = asked()

    talk.sends(body, after=60)

    assert talk.happened(JugActivated) == talk.happened(ContainerCondemned) == []
    assert step_of(talk) == "activate"


@pytest.mark.parametrize(
    "body",
    [
        *("activated", "just activated", "activated now", "active J1", "activated J1-Q, ok"),
        *("activated it just now", "just activated it"),
    ],
)
def test_the_word_with_nothing_that_changes_it_is_taken(body: str) -> None:
    talk = asked()

    talk.sends(body, after=60)

    assert activated(talk).activated > MIDNIGHT


ACTIVE_BEFORE = [
    *("sorry, it was activated 4 weeks ago", "J1 was activated 28 jan", "it was already active"),
    "J1 activated 260220",
]


def told_active() -> Talk:
    talk = asked()
    talk.sends("active", after=60)
    return talk


@pytest.mark.parametrize("body", ACTIVE_BEFORE)
def test_S5_told_right_after_ACTIVE_that_it_was_before_its_day_is_asked_for(body: str) -> None:
    talk = told_active()

    heard = talk.sends(body, after=10)
    talk.sends("260220", after=20)

    assert heard[0] == ("J1 is noted as activated just now. If that was before, its day counts:")
    assert heard[1].startswith("Gloves, goggles, air. J1: all activator in")
    assert talk.clinic.containers["J1"].discard_by == MIDNIGHT + timedelta(days=18)


@pytest.mark.parametrize("word", ["UNSURE", "LATER"])
def test_S5_S8_who_cannot_tell_that_day_has_it_out_of_use(word: str) -> None:
    talk = told_active()
    talk.sends("it was already active", after=10)

    talk.sends(word, after=20)

    assert [each.tag for each in talk.happened(ContainerCondemned)] == ["J1"]


@pytest.mark.parametrize("body", ["was it activated before?", "it is active"])
def test_S5_what_tells_of_no_day_leaves_it_as_it_is(body: str) -> None:
    talk = told_active()

    talk.sends(body, after=10)

    assert step_of(talk) == "fill"


@pytest.mark.parametrize("body", ["wrong activator", "no wait not shaken"])
def test_S5_what_is_told_right_after_ACTIVE_is_said_to_be_not_noted(body: str) -> None:
    heard = told_active().sends(body, after=10)

    assert heard[0].startswith("Not understood: nothing is noted. J1 out of date")
    assert heard[0].endswith("in doubt? FAULT J1.")


@pytest.mark.parametrize("body", ["not sure", "I am not sure", "J1 not sure"])
def test_S5_not_sure_whether_it_was_activated_is_unsure(body: str) -> None:
    said, meant = asked(), asked()

    assert said.sends(body, after=60) == meant.sends("unsure", after=60)

    assert said.happened(ContainerCondemned) == meant.happened(ContainerCondemned) != []


@pytest.mark.parametrize("body", ["not sure?", "not sure what to do", "sure"])
def test_S5_what_may_be_no_doubt_of_it_condemns_nothing(body: str) -> None:
    talk = asked()

    talk.sends(body, after=60)

    assert talk.happened(ContainerCondemned) == []


@pytest.mark.parametrize("body", ["activator added", "poured activator in", "shaken"])
def test_S5_what_its_question_asks_for_in_other_words_is_no_bad_news_of_the_jug(body: str) -> None:
    talk = asked()

    (again,) = talk.sends(body, after=60)

    assert again.startswith("J1: activated just now: ACTIVE.")


@pytest.mark.parametrize("body", ["activator expired", "added water", "not shaken, it leaked"])
def test_S5_bad_news_of_the_jug_says_how_to_tell_it(body: str) -> None:
    talk = asked()

    told, _ = talk.sends(body, after=60)

    assert told.endswith("in doubt? FAULT J1.")

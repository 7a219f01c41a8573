"""S6: that a tub or a bottle was not dry, told a moment after POURED or FILLED, is heard."""

import pytest

from flows.parts.clinic import Fitness
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def poured() -> Talk:
    """T1 of a cycle, whose strip is asked for."""
    talk = clinic(bath=False)
    play_cycle(talk, until="dip")
    return talk


def noted(talk: Talk) -> Fitness:
    return talk.clinic.containers["T1"].fitness


@pytest.mark.parametrize(
    "body",
    [
        *("sorry tub was wet", "the tub was not dry", "tub not washed", "T1 was wet"),
        *("UNSURE", "not sure"),
    ],
)
def test_S6_a_tub_that_was_not_dry_is_out_of_use_though_it_is_told_after_POURED(body: str) -> None:
    talk = poured()

    heard = talk.sends(body, after=20)

    assert heard[0].startswith("Then T1 is not for use: throw it away")
    assert noted(talk) is Fitness.CONDEMNED
    assert step_of(talk) != "dip"


@pytest.mark.parametrize(
    "body",
    [
        *("there was water in it", "sorry there was detergent in the tub", "i poured water"),
        *("wrong jug", "it was the wrong bottle", "no wait not poured", "old rest was in it"),
    ],
)
def test_S6_what_is_told_right_after_POURED_is_never_answered_as_if_all_were_well(
    body: str,
) -> None:
    talk = poured()

    heard = talk.sends(body, after=20)

    assert "FAULT T1" in heard[0]
    assert noted(talk) is Fitness.GOOD


def poured_ahead() -> Talk:
    """T1 by POUR alone, where nothing is asked behind it."""
    talk = clinic(bath=False)
    talk.sends("POUR")
    talk.sends("POURED", after=60)
    return talk


@pytest.mark.parametrize("body", ["sorry tub was wet", "the tub was not dry", "UNSURE"])
def test_S6_it_is_heard_where_nothing_is_asked_behind_POURED(body: str) -> None:
    talk = poured_ahead()

    talk.sends(body, after=20)

    assert noted(talk) is Fitness.CONDEMNED


def test_S6_another_word_behind_POURED_is_said_to_be_not_noted() -> None:
    (heard,) = poured_ahead().sends("there was water in it", after=20)

    assert heard.startswith("Not understood: nothing is noted. T1 out of date")


@pytest.mark.parametrize(
    ("body", "after"),
    [("tub was wet", 121), ("tub is not wet", 20), ("is wet", 20), ("POURED", 20), ("hello", 20)],
)
def test_S6_what_may_be_about_something_else_throws_no_bath_away(body: str, after: int) -> None:
    talk = poured_ahead()

    heard = talk.sends(body, after=after)

    assert noted(talk) is Fitness.GOOD
    assert body not in {"POURED", "hello"} or "nothing is noted" not in heard[0]


def test_S6_a_bottle_filled_from_the_wrong_one_is_asked_about_at_the_bath() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR J1")
    talk.sends("FILLED", after=60)

    talk.sends("the bottle was not dry", after=20)

    assert talk.clinic.containers["B2"].fitness is Fitness.CONDEMNED


def test_S6_once_a_strip_is_dipped_UNSURE_is_of_that() -> None:
    talk = poured()
    talk.sends("DIP T1", after=20)

    talk.sends("UNSURE", after=20)

    assert noted(talk) is Fitness.GOOD


@pytest.mark.parametrize(("body", "tag"), [("POUR J1", "J1"), ("POUR", "B1")])
@pytest.mark.parametrize(
    "news", ["{} expired last week", "{} looks cloudy", "lid was off all night", "it smells"]
)
def test_S5_bad_news_of_what_is_to_be_poured_is_never_answered_as_if_all_were_well(
    body: str, tag: str, news: str
) -> None:
    talk = clinic()
    question = talk.sends(body)[-1]

    heard = talk.sends(news.format(tag), after=20)

    assert heard[0].endswith(f"in doubt? FAULT {tag}.")
    assert heard[1] == question


@pytest.mark.parametrize(
    "news",
    [
        *("T1 expired", "T1 cloudy", "something in T1", "T1 had no label", "T1 tub cracked"),
        "expired",
    ],
)
def test_S4_bad_news_of_what_a_strip_is_to_be_dipped_in_is_asked_about(news: str) -> None:
    heard = poured().sends(news, after=20)

    assert "T1 not good? FAULT T1." in heard[0]

"""S3: what came out of its bath goes straight back into that very bath, or is cleaned anew."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Level
from flows.parts.events import CleaningRestarted, Immersed
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import NINE, Talk, clinic

MIDNIGHT = NINE + timedelta(hours=12)
"""At the site, three hours east."""


def came_out(level: Level = Level.COACH) -> Talk:
    """It has been in its bath for three minutes and is out again."""
    talk = clinic(level=level)
    play_cycle(talk, until="soaking")
    talk.sends("OUT", after=180)
    return talk


def too_cold() -> Talk:
    """It has been put in a bath of 19 C."""
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("IN 19", after=20)
    return talk


def restarts(talk: Talk) -> list[str]:
    return [event.because for event in talk.happened(CleaningRestarted)]


@pytest.mark.parametrize("level", list(Level))
def test_S3_whose_bath_is_thrown_away_meanwhile_is_cleaned_before_another(level: Level) -> None:
    talk = came_out(level)
    before = len(talk.heard["ph1"])

    talk.sends("DISCARD T1", phone="ph2", after=10)

    assert talk.heard["ph1"][before].startswith("T1 is not for use any more. V1 must be cleaned")
    assert restarts(talk) == ["not_back"]
    assert step_of(talk) in {"wipe_detergent", "under"}
    assert cycle_of(talk).done == {"inspect"}


def test_S3_so_is_what_was_in_a_cold_bath_that_is_thrown_away() -> None:
    talk = too_cold()

    talk.sends("DISCARD T1", phone="ph2", after=10)

    assert restarts(talk) == ["not_back"]
    assert step_of(talk) == "wipe_detergent"


def test_S3_what_is_not_in_yet_is_led_to_another_bath() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    talk.sends("DISCARD T1", phone="ph2", after=10)

    assert restarts(talk) == []
    assert step_of(talk) == "fill"


@pytest.mark.parametrize(("body", "at"), [("OUT", "58"), ("IN 23", "")])
def test_S3_whose_strip_ends_with_the_day_is_not_soaked_on_another(body: str, at: str) -> None:
    talk = clinic()
    talk.now = MIDNIGHT - timedelta(minutes=20)
    play_cycle(talk, until="soaking")
    if at:
        talk.now = MIDNIGHT - timedelta(minutes=2)
        talk.sends(body)
        body = f"IN {number_for(talk)} 23"

    talk.now = MIDNIGHT
    heard = talk.sends(body)

    assert len(talk.happened(Immersed)) == 1
    assert heard[0].startswith("The strip of T1 does not count for another soak. V1 must be clean")
    assert step_of(talk) == "wipe_detergent"


@pytest.mark.parametrize(("minutes", "back"), [(5, True), (5.001, False)])
def test_S3_straight_back_is_a_matter_of_minutes(minutes: float, *, back: bool) -> None:
    talk = came_out()

    heard = talk.sends(f"IN {number_for(talk)} 23", after=minutes * 60)

    assert len(talk.happened(Immersed)) == 1 + back
    assert restarts(talk) == ["not_back"] * (not back)
    assert back or heard[0].startswith("V1 has been out too long to go straight back in.")


def test_S3_what_has_been_put_back_since_is_not_out_any_more() -> None:
    talk = came_out()
    talk.sends(f"IN {number_for(talk)} 23", after=20)

    talk.sends("IN 24", after=8 * 60)

    assert restarts(talk) == []
    assert len(talk.happened(Immersed)) == 3


def test_S17_a_bath_takes_longer_to_warm_than_the_way_back() -> None:
    talk = came_out()
    talk.sends(f"IN {number_for(talk)} 19", after=20)

    talk.sends(f"IN {number_for(talk)} 23", after=8 * 60)

    assert restarts(talk) == []
    assert step_of(talk) == "soaking"


def test_S3_a_hand_over_makes_it_no_sooner_that_it_came_out() -> None:
    talk = came_out()

    talk.sends("TAKE V1", phone="ph2", after=4 * 60)
    play_cycle(talk, phone="ph2", until="back_in")
    before = step_of(talk)
    talk.wait(minutes=2)
    talk.sends(f"IN {number_for(talk, phone='ph2')} 23", phone="ph2")

    assert before == "back_in"
    assert restarts(talk) == ["not_back"]
    assert len(talk.happened(Immersed)) == 1


def test_S3_who_takes_over_what_has_been_out_too_long_cleans_it() -> None:
    talk = came_out()

    talk.sends("TAKE V1", phone="ph2", after=6 * 60)
    play_cycle(talk, phone="ph2", until="wipe_detergent")

    assert restarts(talk) == ["not_back"]
    assert any("out too long" in text for text in talk.heard["ph2"])


def test_S3_a_reminder_does_not_ask_to_put_it_back_any_more() -> None:
    talk = came_out()

    talk.wait(minutes=11)

    assert restarts(talk) == ["not_back"]
    assert step_of(talk) == "wipe_detergent"
    assert talk.now - talk.happened(Immersed)[0].due < timedelta(minutes=10)


@pytest.mark.parametrize(
    "body",
    [
        *("moved", "V1 moved", "touched", "i touched it", "V1 touched", "rinsed it", "not sure"),
        *("dried it first", "in {n} 23 but i touched it", "unsure", "it fell"),
    ],
)
def test_S3_touched_or_not_sure_is_what_again_is_asked_for(body: str) -> None:
    """The question was put again, and IN alone, as it asks, went on with that soak."""
    talk = came_out()

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert step_of(talk) == "wipe_detergent"
    assert len(restarts(talk)) == 1


@pytest.mark.parametrize("body", ["rinsed", "rinsed 98", "nobody touched it", "touched?", "ok"])
def test_S10_an_old_answer_or_a_denial_says_nothing_of_that(body: str) -> None:
    talk = came_out()

    talk.sends(body, after=20)

    assert restarts(talk) == []
    assert step_of(talk) == "back_in"


def test_S3_moved_is_heard_from_another_phone_too() -> None:
    talk = came_out()

    talk.sends("V1 MOVED", phone="ph2", after=20)

    assert restarts(talk) == ["moved"]


def test_S3_untouched_as_the_text_asks_may_stand_beside_it() -> None:
    talk = came_out()

    talk.sends(f"IN {number_for(talk)} 23 untouched", after=20)

    assert len(talk.happened(Immersed)) == 2

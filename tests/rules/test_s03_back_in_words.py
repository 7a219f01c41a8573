"""S3, S17: the words of the question itself, beside the number and the reading, change no IN.

UNTOUCHED, BACK IN 92 22 was refused while the seconds ran. Source: common practice for what people
say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import CleaningRestarted, Immersed
from tests.kit.cycles import number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def out_early(level: Level) -> Talk:
    talk = clinic(level=level, devices=("V1", "V2"))
    play_cycle(talk, until="soaking")
    talk.wait(seconds=60)
    talk.sends("OUT", after=20)
    assert step_of(talk) == "back_in"
    return talk


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
@pytest.mark.parametrize(
    "body",
    [
        *("untouched in {n} 22", "back in {n} 22 untouched", "V1 back in {n} 22"),
        *("straight back in {n} 22", "i put it back in {n} 22", "back in T1 {n} 22"),
        *("untouched, back in T1, {n} 22 C", "put it in {n} 22"),
    ],
)
def test_S3_back_in_with_its_number_and_reading_soaks(body: str, level: Level) -> None:
    talk = out_early(level)

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert step_of(talk) == "soaking"
    assert len(talk.happened(Immersed)) == 2


@pytest.mark.parametrize(
    "body",
    [
        *("not back in {n} 22", "half back in {n} 22", "not untouched in {n} 22", "back in 22"),
        *("put T1 back in J1 {n} 22", "put B1 in T1 {n} 22", "back in 5 min"),
    ],
)
def test_S3_anything_else_before_in_does_not(body: str) -> None:
    talk = out_early(Level.COACH)

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert step_of(talk) != "soaking"
    assert len(talk.happened(Immersed)) == 1


@pytest.mark.parametrize(
    "body", ["untouched", "put back", "yes, it is back", "untouched, back in"]
)
def test_S17_what_lacks_its_number_and_reading_is_asked_for_those(body: str) -> None:
    talk = out_early(Level.COACH)

    (heard,) = talk.sends(body, after=20)

    assert heard.startswith("The number in my last text is missing")
    assert step_of(talk) == "back_in"


def test_S3_what_was_touched_is_cleaned_from_the_start() -> None:
    talk = out_early(Level.COACH)

    talk.sends(f"touched, back in {number_for(talk)} 22", after=20)

    assert talk.happened(CleaningRestarted)


@pytest.mark.parametrize("body", ["put it in 23", "i put it in 23", "V1 put in T1 23"])
def test_S17_who_says_that_it_was_put_in_is_heard_at_the_first_in(body: str) -> None:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until="immerse")

    talk.sends(body, after=20)

    assert step_of(talk) == "soaking"


def test_S3_back_in_where_it_was_not_in_yet_is_asked_about() -> None:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until="immerse")

    talk.sends("back in 23", after=20)

    assert step_of(talk) == "immerse"

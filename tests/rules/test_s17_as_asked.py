"""S10, S17: an answer in the words of its own question is one; with any other it is not."""

import pytest

from flows.parts.clinic import Level
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def at(step: str) -> Talk:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until=step)
    return talk


@pytest.mark.parametrize(
    ("step", "body"),
    [
        *(("wipe_detergent", "soaped handle and cable"), ("wipe_detergent", "yes, soaped it all")),
        *(("dry", "dry all over"), ("dry", "V1 dry and done"), ("final_dry", "dried it all")),
        *(("cover", "covered with a clean towel"), ("cover", "covered it, sister")),
    ],
)
def test_S17_an_answer_in_the_words_of_its_question_is_taken(step: str, body: str) -> None:
    talk = at(step)

    talk.sends(body, after=300)

    assert step_of(talk) != step


@pytest.mark.parametrize(
    ("step", "body"),
    [
        *(("dry", "not dry all over"), ("dry", "dry all over?"), ("dry", "will be dry")),
        *(("dry", "still dry"), ("dry", "dry soon"), ("dry", "half dry"), ("dry", "is it dry")),
        *(("cover", "covered with a dirty towel"), ("cover", "covered, towel fell")),
        *(("cover", "covered V2 with a clean towel"), ("final_inspect", "good, a stain")),
        *(("wipe_detergent", "soaped without detergent"), ("wipe_detergent", "soaped cable only")),
        *(("final_dry", "dried once"), ("final_dry", "dried with heat")),
        *(("container", "tub held detergent"), ("container", "in the tub with water")),
    ],
)
def test_S8_with_a_word_that_its_question_does_not_say_it_is_none(step: str, body: str) -> None:
    talk = at(step)

    talk.sends(body, after=300)

    assert step_of(talk) == step

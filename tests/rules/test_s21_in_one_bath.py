"""S4, S21: two probes in one bath, told in one text; or another than the one that is asked for.

What lies beside a probe in its bath has used its strip, and no soak stands on it. Source: one
probe a bath, as in the rule; common practice for what people say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import Immersed, PutInBath, SoakBroken
from tests.kit.cycles import arrives, number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def at_the_bath(*, in_hand: bool, level: Level = Level.BRIEF) -> Talk:
    """V1 is to go into T1; V2 is in hand on the same phone, or lies on its shelf."""
    talk = clinic(level=level, devices=("V1", "V2"))
    play_cycle(talk, until="immerse")
    if in_hand:
        talk.sends("CLEAN V2", after=20)
    talk.wait(seconds=60)
    return talk


def was_in(talk: Talk) -> set[tuple[str, str]]:
    put = {(each.device, each.bath) for each in talk.happened(PutInBath)}
    return put | {(each.device, each.bath) for each in talk.happened(Immersed)}


@pytest.mark.parametrize("in_hand", [True, False])
@pytest.mark.parametrize(
    "body",
    [
        *("V1 and V2 in {n} 23", "V1 and V2 both in T1 {n} 23", "V1 V2 in {n} 23"),
        *("V1 in {n} 23 with V2", "V1 in {n} 23 and V2 too", "in {n} 23 with V2"),
    ],
)
def test_S21_what_lay_beside_it_breaks_the_soak(body: str, *, in_hand: bool) -> None:
    """Which of the two was asked, and the text of one alone released what the other lay beside."""
    talk = at_the_bath(in_hand=in_hand)

    talk.sends(body.format(n=number_for(talk, "V1")))

    assert was_in(talk) == {("V1", "T1"), ("V2", "T1")}
    assert [each.device for each in talk.happened(SoakBroken)] == ["V1"]
    assert step_of(talk, "V1") == "under"


@pytest.mark.parametrize("body", ["both in T1", "V1 and V2 both in T1 23"])
def test_S4_without_its_number_both_have_used_the_strip(body: str) -> None:
    talk = at_the_bath(in_hand=True)

    talk.sends(body)

    assert was_in(talk) == {("V1", "T1"), ("V2", "T1")}
    assert talk.happened(Immersed) == []
    assert step_of(talk, "V1") != "immerse"


def test_S4_another_probe_by_the_number_of_this_question_was_in_this_bath() -> None:
    """V2 was said to be not ready, and V1 soaked on the strip of before it."""
    talk = at_the_bath(in_hand=False)

    talk.sends(f"V2 in {number_for(talk, 'V1')} 23")

    assert was_in(talk) == {("V2", "T1")}
    assert step_of(talk, "V1") == "dip"


@pytest.mark.parametrize("body", ["V2 in 23", "V2 in stock", "V2 23"])
def test_S10_without_that_number_it_is_of_no_bath_that_is_known(body: str) -> None:
    talk = at_the_bath(in_hand=False)

    talk.sends(body)

    assert ("V2", "T1") not in was_in(talk)


def test_S10_what_was_sent_before_the_question_may_be_of_its_own_soak() -> None:
    talk = at_the_bath(in_hand=False, level=Level.COACH)
    before = talk.now
    play_cycle(talk, "V1")
    play_cycle(talk, "V2", until="immerse")

    arrives(talk, "V1 IN 23", before)

    assert was_in(talk) == {("V1", "T1")}
    assert step_of(talk, "V2") == "immerse"

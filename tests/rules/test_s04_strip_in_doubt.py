"""S4: what else is said of a strip just read, by whom, and of one whose question has gone."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness, Kind
from flows.parts.events import AnsweredTooSoon, NotUnderstood, SoakBroken, StripRead
from flows.parts.state.dips import dip_of
from tests.kit.cycles import arrives, play_cycle, step_of
from tests.kit.strips import dips, outcomes, passes, pour
from tests.kit.talk import Talk, clinic

ABOUT_IT = (
    "Is it about the strip of T1? If it fails after all, text T1 2; if you are not sure, T1 3. If "
    "it is about something else, please say of what."
)
IS_IT_2 = (
    "Is 2 what the strip of T1 shows after all? Then text T1 2. If it is about something else, "
    "please say of what."
)


def read(*, at: int = 0) -> Talk:
    """V1 is cleaned on ph1, its bath's strip is just read as passed; *at* seconds later."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")
    talk.sends("1", after=95)
    talk.wait(seconds=at)
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("2 any blue", "2 blue", "2 in T1", "2 for T1", "the strip is 2", "should be 2"),
        *("my mistake 2", "typo 2", "2 blue or patchy", "3 not sure", "T1: 2", "2, not 1"),
    ],
)
@pytest.mark.parametrize("after", [8, 60])
def test_S4_in_the_words_of_its_question_it_fails(after: int, body: str) -> None:
    talk = read()

    talk.sends(body, after=after)

    assert outcomes(talk)[-1][0] == "fail"
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


@pytest.mark.parametrize(
    "body",
    [
        *("any blue", "it was blue", "not sure", "not purple", "it was not all purple", "patchy"),
        *("strip failed", "T1 failed", "wrong button", "unsure", "strip bad", "no good"),
    ],
)
@pytest.mark.parametrize("after", [8, 100])
def test_S4_what_may_mean_it_is_asked_about_before_anything_else(after: int, body: str) -> None:
    talk = read()

    heard = talk.sends(body, after=after)

    assert heard[-1] == ABOUT_IT
    assert outcomes(talk) == [("pass", "")]


@pytest.mark.parametrize("body", ["not 1 but 2", "1 no 2", "I pressed 1 but it was 2"])
def test_S4_a_digit_among_other_words_is_asked_about(body: str) -> None:
    talk = read()

    assert talk.sends(body, after=8) == [IS_IT_2]
    assert len(talk.happened(NotUnderstood)) == 1


def test_S4_so_it_is_where_nothing_else_is_asked() -> None:
    talk = clinic()
    passes(talk, "T1")

    assert talk.sends("it was blue", after=8) == [ABOUT_IT]


@pytest.mark.parametrize("after", [40, 500])
def test_S4_what_was_asked_for_counts_once_it_comes(after: int) -> None:
    talk = read(at=90)
    asked = talk.sends("2", after=20)

    talk.sends("T1 2", after=after)

    assert asked[-1] == IS_IT_2
    assert outcomes(talk)[-1][0] == "fail"


def test_S4_by_when_it_was_sent_it_is_of_that_strip() -> None:
    talk = read()
    sent = talk.now + timedelta(seconds=100)
    talk.wait(seconds=200)

    assert arrives(talk, "2", sent)[-1] == IS_IT_2


@pytest.mark.parametrize(
    ("body", "at"),
    [
        *((each, 8) for each in ("blue?", "ok", "all purple", "hello", "ok 2 min", "2 min left")),
        *((each, 8) for each in ("3 patients waiting", "room 3", "strip in bin", "strip is good")),
        *((each, 8) for each in ("no blue", "not sure what next", "out 2 min early")),
        ("blue", 130),
    ],
)
def test_S4_what_says_nothing_of_it_gets_the_question_again(body: str, at: int) -> None:
    talk = read()

    heard = talk.sends(body, after=at)

    assert not any("strip" in text for text in heard)


def test_S17_what_is_asked_for_is_no_doubt() -> None:
    talk = read()
    talk.wait(minutes=8)
    passes(talk, "B1", phone="ph1")
    assert step_of(talk) == "rinse"

    heard = talk.sends("rinsed 3 times, not sure", after=10)

    assert not any("the strip of" in text for text in heard)


def test_S4_beside_the_colour_of_another_strip_that_one_is_asked_for() -> None:
    talk = clinic()
    pour(talk, "T2", Kind.BATH, "B1")
    for tag in ("T1", "T2"):
        talk.sends(f"TEST {tag}", after=5)
        dips(talk, tag)
    talk.sends("1", after=80)

    *_, text = talk.sends("blue", after=15)

    assert text.startswith("If that is how the strip looks, it fails: reply T2 5.")


# -- by its tag ---------------------------------------------------------------------------------


def two_tested() -> Talk:
    """T1, then T2 on one phone, both just read as passed."""
    talk = clinic(devices=("V1", "V2"))
    pour(talk, "T2", Kind.BATH, "B1")
    for tag in ("T1", "T2"):
        talk.sends(f"TEST {tag}", after=5)
        dips(talk, tag)
    talk.sends("1", after=80)
    talk.sends("4", after=25)
    assert outcomes(talk) == [("pass", ""), ("pass", "")]
    return talk


@pytest.mark.parametrize(
    ("body", "failed"),
    [
        ("T1 2", "T1"),
        ("sorry T1 2", "T1"),
        ("T1 5", "T1"),
        ("T2 5", "T2"),
        ("5", "T2"),
    ],
)
def test_S4_the_tag_or_its_own_digit_says_which(body: str, failed: str) -> None:
    talk = two_tested()

    talk.sends(body, after=5)

    read = talk.happened(StripRead)[-1]
    assert (read.container, read.outcome) == (failed, "fail")


def test_S4_without_a_tag_its_own_digit_says_of_which_it_is_asked() -> None:
    assert two_tested().sends("2", after=5) == [IS_IT_2]


def test_S4_what_has_failed_already_is_in_no_question() -> None:
    talk = read()
    talk.sends("T1 2", after=5)

    talk.sends("T1 2", after=5)

    assert [outcome for outcome, _ in outcomes(talk)] == ["pass", "fail"]


def test_S4_whoever_names_it_may_fail_it() -> None:
    talk = read()

    (text, *_) = talk.sends("T1 2", phone="ph2", after=30)

    assert text.startswith("T1 FAILED.")


def test_S4_with_two_cleanings_in_hand_it_is_of_neither() -> None:
    talk = read()
    play_cycle(talk, "V2", named=True, until="wipe_water")

    asked = talk.sends("blue on T1", after=5)
    talk.sends("T1 2", after=5)

    assert asked == [ABOUT_IT]
    assert outcomes(talk)[-1][0] == "fail"


# -- whose question has gone --------------------------------------------------------------------


@pytest.mark.parametrize("body", ["2", "T1 2", "3"])
@pytest.mark.parametrize(
    ("said", "phone"),
    [
        *(("USED V1 0412", "ph2"), ("FAULT V1", "ph2"), ("DAMAGED", "ph1"), ("STAINED", "ph1")),
        *(("V1 IN T9 23", "ph2"), ("TAKE V1", "ph2")),
    ],
)
def test_S4_a_fail_counts_whatever_has_become_of_its_question(
    said: str, phone: str, body: str
) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")
    talk.sends(said, phone=phone, after=30)

    talk.sends(body, after=65)

    assert [outcome for outcome, _ in outcomes(talk)] == ["fail"]
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


def test_S4_its_entry_is_as_old_as_its_dip() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")
    talk.sends("FAULT V1", phone="ph2", after=30)

    talk.sends("2", after=65)

    (read,) = talk.happened(StripRead)
    assert (read.age, read.age_most) == (timedelta(seconds=95), timedelta(seconds=95))
    assert (read.strips, read.lot, read.good_until) == ("S1", "L9", None)
    assert dip_of(talk.clinic.containers["T1"], read.test) is None


def test_S4_too_late_it_is_of_nothing() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")
    talk.sends("FAULT V1", phone="ph2", after=30)

    talk.sends("2", after=600)

    assert outcomes(talk) == []


def test_S4_a_pass_whose_question_has_gone_counts_for_nothing() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="read")
    talk.sends("FAULT V1", phone="ph2", after=30)

    talk.sends("1", after=65)

    assert outcomes(talk) == []


# -- what its carrier held ----------------------------------------------------------------------


@pytest.mark.parametrize("digit", ["2", "3"])
def test_S10_a_fail_sent_before_its_dip_was_brought_is_not_too_quick(digit: str) -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    dipped = talk.now + timedelta(seconds=10)
    talk.wait(seconds=130)
    arrives(talk, "DIP T1", dipped)
    talk.wait(seconds=5)

    arrives(talk, digit, dipped + timedelta(seconds=95))

    assert [outcome for outcome, _ in outcomes(talk)] == ["fail"]
    assert talk.happened(AnsweredTooSoon) == []


@pytest.mark.parametrize("body", ["OUT", "V1 OUT", "IN T2 23", "IN 23"])
def test_S10_what_breaks_a_soak_is_not_too_quick_either(body: str) -> None:
    talk = clinic()
    pour(talk, "T2", Kind.BATH, "B1")
    play_cycle(talk, until="immerse")
    went_in = talk.now + timedelta(seconds=10)
    talk.wait(minutes=4)
    arrives(talk, "IN 23.5", went_in)
    talk.wait(seconds=10)

    arrives(talk, body, went_in + timedelta(minutes=3))

    assert talk.happened(AnsweredTooSoon) == []
    assert len(talk.happened(SoakBroken)) == 1

"""S4: a 1 by mistake, and at once the true reading: of two from one phone the worse counts."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness, Standing
from flows.parts.events import CaseOpened, Immersed, StripRead
from flows.parts.situation import no_past
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import dips, first_digit, outcomes, passes
from tests.kit.talk import Talk, clinic

FAILED = (
    "T1 FAILED. Do not use it, do not test it again. Tip nothing back. Label it NOT FOR USE, then "
    "text DISCARD T1. Your contact is told."
)


def passed() -> Talk:
    """A strip by itself, read as passed."""
    talk = clinic()
    passes(talk, "T1")
    return talk


@pytest.mark.parametrize(("said", "because"), [("2", ""), ("3", "unsure")])
def test_S4_a_worse_reading_that_follows_fails_it(said: str, because: str) -> None:
    talk = passed()

    heard = talk.sends(said, after=5)

    assert heard[0] == FAILED
    assert outcomes(talk) == [("pass", ""), ("fail", because)]
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert [each.subject for each in talk.happened(CaseOpened)] == ["T1"]


def test_S4_its_entry_names_the_same_strip_and_is_as_old() -> None:
    talk = passed()

    talk.sends("2", after=5)

    first, then = talk.happened(StripRead)
    assert (then.test, then.strips, then.lot, then.seen) == (first.test, "S1", "L9", "fail")
    assert then.age == first.age + timedelta(seconds=5)
    assert then.good_until is None


def test_S4_so_it_is_in_a_cleaning_which_goes_on_with_another_bath() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    assert talk.clinic.cycles

    heard = talk.sends("sorry 2", after=5)

    assert heard[0] == FAILED
    assert step_of(talk) == "jug"  # what shares its origin is held
    play_cycle(talk)
    assert [each.bath for each in talk.happened(Immersed)] == ["T2"]


def test_S4_whatever_was_cleared_by_the_mistake_is_void() -> None:
    """V1 went in before that strip; only the strip by mistake had cleared it."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    first = int(first_digit(talk, "T1"))
    talk.sends(str(first), after=95)

    talk.sends(str(first + 1), after=5)

    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED
    (case,) = talk.happened(CaseOpened)
    assert len(case.cycles) == 1


@pytest.mark.parametrize("why", ["another phone", "too late", "again", "other digits"])
def test_S4_nothing_else_is_taken_for_it(why: str) -> None:
    talk = clinic()
    passes(talk, "T1")
    phone = "ph2" if why == "another phone" else "ph1"
    said = {"again": "1", "other digits": "5"}.get(why, "2")

    talk.sends(said, phone=phone, after=125 if why == "too late" else 5)

    assert outcomes(talk) == [("pass", "")]
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S4_the_digits_are_those_of_that_strip() -> None:
    """Soon after another on the same phone they are 4 5 6."""
    talk = passed()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    first = first_digit(talk, "T1")
    talk.sends(first, after=95)

    talk.sends("2", after=5)
    before = outcomes(talk)
    talk.sends("5", after=5)

    assert first == "4"
    assert before == [("pass", ""), ("pass", "")]
    assert outcomes(talk)[-1] == ("fail", "")


def test_where_the_record_is_not_at_hand_it_is_not_understood(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    talk = passed()
    around = talk.around()
    object.__setattr__(around, "past", no_past)
    monkeypatch.setattr(talk, "around", lambda: around)

    (said,) = talk.sends("2", after=5)

    assert said.startswith("I did not understand that.")


def test_S4_what_has_just_gone_in_on_it_falls() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends("T1 2", after=5)

    assert outcomes(talk)[-1][0] == "fail"
    assert talk.happened(CaseOpened)[0].cycles


def test_S10_a_digit_by_itself_is_asked_of_what_it_is_once_other_things_may_be_meant() -> None:
    talk = clinic()
    passes(talk, "T1")
    talk.sends("PLAN", after=15)

    (asked,) = talk.sends("2", after=15)

    assert asked == (
        "Is 2 what the strip of T1 shows after all? Then text T1 2. If it is about something "
        "else, please say of what."
    )
    assert outcomes(talk) == [("pass", "")]


@pytest.mark.parametrize("said", ["2 in T1", "in T1 2", "2 T1"])
def test_S4_a_reading_may_name_its_bath(said: str) -> None:
    talk = clinic()
    play_cycle(talk, until="read")

    talk.sends(said, after=95)

    assert outcomes(talk) == [("fail", "")]


@pytest.mark.parametrize(
    "said", ["sorry 2", "2 sorry", "no 2", "it was 2", "2 not 1", "I meant 2", "T1 2", "oops 3"]
)
def test_S4_a_correction_in_words_is_one(said: str) -> None:
    talk = clinic()
    passes(talk, "T1")

    talk.sends(said, after=10)

    assert outcomes(talk)[-1][0] == "fail"


@pytest.mark.parametrize("said", ["not 2", "2?", "1 not 2", "2 3", "rinsed 3 times"])
def test_S4_what_is_no_correction_fails_nothing(said: str) -> None:
    talk = clinic()
    passes(talk, "T1")

    talk.sends(said, after=10)

    assert outcomes(talk) == [("pass", "")]


def test_S4_whoever_has_read_what_another_dipped_may_put_it_right() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    for said, after in (("TAKE V1", 10), ("READY", 5), ("STAYED", 5), ("1", 75), ("2", 10)):
        talk.sends(said, phone="ph2", after=after)

    assert outcomes(talk)[-1][0] == "fail"


def test_S4_of_two_read_at_one_instant_each_phone_puts_its_own_right() -> None:
    talk = clinic()
    for tag, phone in (("T1", "ph1"), ("B1", "ph2")):
        talk.sends(f"TEST {tag}", phone=phone)
        dips(talk, tag, phone)
    talk.sends("1", phone="ph1", after=95)
    talk.sends("1", phone="ph2")

    talk.sends("2", phone="ph1", after=8)

    assert talk.happened(StripRead)[-1].container == "T1"


def test_S4_a_fail_behind_a_reading_too_late_is_one() -> None:
    talk = clinic()
    talk.sends("TEST T1")
    dips(talk, "T1", "ph1")
    talk.sends("1", after=140)

    talk.sends("2", after=5)

    assert [outcome for outcome, _ in outcomes(talk)] == ["no_result", "fail"]

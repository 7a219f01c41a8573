"""An answer that only another open question can take is taken there: it was asked, and waits."""

import pytest

from flows.parts.clinic import Kind, Level, Standing
from flows.parts.events import JugOpened, NotUnderstood, Poured, StripDipped, StripRead
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import dips, outcomes
from tests.kit.talk import Talk, clinic


def reading_with_a_pour_asked_since() -> Talk:
    """The strip lies there, and meanwhile somebody has asked for another bath."""
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="read")
    talk.sends("POUR", after=20)
    return talk


@pytest.mark.parametrize(("digit", "outcome"), [("1", "pass"), ("2", "fail"), ("3", "fail")])
def test_S4_a_strip_is_read_in_its_time_whatever_was_asked_since(digit: str, outcome: str) -> None:
    talk = reading_with_a_pour_asked_since()

    talk.sends(digit, after=75)

    assert [each.outcome for each in talk.happened(StripRead)] == [outcome]
    assert talk.happened(NotUnderstood) == []


def test_S4_what_the_bell_of_a_strip_asks_for_is_taken() -> None:
    talk = reading_with_a_pour_asked_since()
    talk.wait(seconds=87)

    asked = talk.last()
    talk.sends("1", after=5)

    assert asked.startswith("Strip from T1: reply 1 all purple")
    assert outcomes(talk) == [("pass", "")]


def test_what_was_poured_is_noted_though_the_cleaning_has_asked_for_something_since() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="await_detergent")
    talk.sends("POUR", after=20)
    talk.wait(minutes=4)
    asked = step_of(talk)

    talk.sends("POURED", after=20)

    assert (asked, step_of(talk)) == ("immerse", "immerse")
    assert [each.tag for each in talk.happened(Poured)][-1] == "T2"


def test_S10_a_doubled_reading_answers_for_no_other_strip() -> None:
    talk = reading_with_a_pour_asked_since()
    talk.sends("TEST J1", after=2)
    dips(talk, "J1", after=2)
    talk.sends("POUR", after=2)
    talk.sends("1", after=60)

    talk.sends("1", after=1)

    assert [each.container for each in talk.happened(StripRead)] == ["T1"]


def test_a_lot_is_never_read_from_an_answer_to_a_cleaning() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="await_detergent")
    talk.sends("OPEN", after=2)
    asked = talk.sends("271231", after=2)
    talk.wait(minutes=4)

    talk.sends("67 21.5", after=20)

    assert asked[0].startswith("Its lot number")
    assert step_of(talk) == "immerse"
    assert talk.happened(JugOpened)[1:] == []
    assert len(talk.happened(NotUnderstood)) == 1


def asked_for_a_lot_before_a_step() -> Talk:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until="dry")
    talk.sends("OPEN 270331", after=20)
    talk.sends("DRY", after=20)
    return talk


@pytest.mark.parametrize(("body", "lot"), [("LOT L7", "L7"), ("D4417", "D4417"), ("lot D4", "D4")])
def test_S18_a_plain_lot_is_noted_though_the_cleaning_has_asked_for_something_since(
    body: str, lot: str
) -> None:
    talk = asked_for_a_lot_before_a_step()

    talk.sends(body, after=20)

    assert [each.lot for each in talk.happened(JugOpened)][1:] == [lot]
    assert step_of(talk) == "container"


@pytest.mark.parametrize(
    "body", ["NONE", "OUT844", "OU844", "T123", "D4", "8444", "hm D4417", "IN215"]
)
def test_S18_what_may_be_another_answer_is_no_lot(body: str) -> None:
    talk = asked_for_a_lot_before_a_step()

    talk.sends(body, after=20)

    assert talk.happened(JugOpened)[1:] == []


def test_what_fits_two_questions_is_taken_by_neither() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="await_detergent")
    talk.sends("POUR", after=1)
    talk.sends("POUR J1", after=1)
    talk.wait(minutes=4)
    open_before = len(talk.clinic.threads)

    talk.sends("LATER", after=20)

    assert step_of(talk) == "immerse"
    assert len(talk.clinic.threads) == open_before


ASIDE = ["POUR", "POUR J1", "OPEN", "OPEN 270331", "OPEN STRIPS 270331", "TEST T1", "USED V2"]
COACHED = [
    ("wipe_detergent", "SOAPED", 20),
    ("under", "UNDER", 120),
    ("dip", "DIP T1", 20),
    ("dry", "DRY", 20),
    ("container", "TUB", 20),
    ("final_rinse", "FLUSHED", 200),
    ("final_inspect", "GOOD", 20),
    ("cover", "COVERED", 200),
]


def bath(talk: Talk) -> str:
    return [each.tag for each in talk.clinic.containers.values() if each.kind is Kind.BATH][-1]


@pytest.mark.parametrize("aside", ASIDE)
@pytest.mark.parametrize(("step", "word", "after"), COACHED)
def test_S10_a_step_of_the_only_cleaning_is_taken_past_the_question_in_front(
    step: str, word: str, after: int, aside: str
) -> None:
    talk = clinic(devices=("V1", "V2"), level=Level.COACH)
    play_cycle(talk, "V2")
    play_cycle(talk, until=step)
    talk.sends(aside.replace("T1", bath(talk)), after=5)

    talk.sends(word.replace("T1", bath(talk)), after=after)

    assert step_of(talk) != step
    assert talk.happened(NotUnderstood) == []


def test_S10_what_takes_its_time_takes_it_there_too() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="under")
    talk.sends("POUR", after=5)

    (heard,) = talk.sends("UNDER", after=5)

    assert heard.startswith("That was quick.")
    assert step_of(talk) == "under"


def test_S10_of_two_cleanings_none_is_answered_past_the_question_in_front() -> None:
    talk = clinic(devices=("V1", "V2"), level=Level.BRIEF)
    play_cycle(talk, "V1", until="under")
    play_cycle(talk, "V2", until="under", named=True)
    talk.sends("POUR", after=100)

    (heard,) = talk.sends("UNDER", after=20)
    asked = step_of(talk, "V1"), step_of(talk, "V2")
    talk.sends("V1", after=20)

    assert heard.startswith("Two devices are in hand. Which one?")
    assert asked == ("under", "under")
    assert (step_of(talk, "V1"), step_of(talk, "V2")) == ("dip", "under")


@pytest.mark.parametrize("body", ["LATER", "hm", "POURED"])
def test_what_is_of_neither_cleaning_is_heard_in_front(body: str) -> None:
    talk = clinic(devices=("V1", "V2"), level=Level.BRIEF)
    play_cycle(talk, "V1", until="under")
    play_cycle(talk, "V2", until="under", named=True)
    talk.sends("POUR", after=100)

    heard = talk.sends(body, after=20)

    assert not any(text.startswith("Two devices are in hand.") for text in heard)


def test_S4_a_strip_that_is_asked_for_is_dipped_whatever_was_asked_since() -> None:
    talk = clinic(level=Level.BRIEF)
    talk.sends("TEST T1", after=20)
    talk.sends("POUR", after=20)

    (heard,) = talk.sends("DIP T1", after=20)
    talk.sends("1", after=95)

    assert heard.startswith("T1: read the strip after 90 s")
    assert outcomes(talk) == [("pass", "")]


def test_S4_a_dip_in_another_bath_than_either_question_names_is_none_of_them() -> None:
    talk = clinic(level=Level.BRIEF)
    talk.sends("TEST T1", after=20)
    talk.sends("POUR", after=20)

    talk.sends("DIP T7", after=20)

    assert talk.happened(StripDipped) == []


def test_S13_damage_is_taken_past_the_question_in_front() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="under")
    talk.sends("POUR", after=100)

    talk.sends("DAMAGED", after=20)

    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED

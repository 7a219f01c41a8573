"""Not understood: the question again; a near miss asked back; the third offers a person."""

import pytest

from flows.parts.events import AlertRaised, NotUnderstood, SiteOpened
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import clinic

AT_REST = (
    "I did not understand that. To clean a probe: CLEAN V1. After a patient: USED V1 0412. "
    "Not good: FAULT and its name. All words: MENU."
)
NEAR = "Did you mean {word}? If so, text it again with {word}, and the number if there is one."


@pytest.mark.parametrize("body", ["hello", "47", "", "?", "the probe is ready now"])
def test_with_nothing_open_the_way_in_is_said(body: str) -> None:
    talk = clinic()

    assert talk.sends(body) == [AT_REST]
    assert talk.happened(NotUnderstood) == []


@pytest.mark.parametrize(
    ("body", "word"),
    [("spil", "SPILL"), ("clena V1", "CLEAN"), ("usd v1 0412", "USED"), ("chek V1", "CHECK")],
)
def test_a_near_miss_of_a_command_is_asked_back_never_taken(body: str, word: str) -> None:
    talk = clinic()

    assert talk.sends(body) == [NEAR.format(word=word)]
    assert talk.clinic.cycles == {}


def test_a_near_miss_of_an_answer_is_asked_back_and_is_a_miss() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    heard = talk.sends("dyr", after=20)

    assert heard == [NEAR.format(word="DRY")]
    assert step_of(talk) == "dry"
    assert [event.hint for event in talk.happened(NotUnderstood)] == ["near"]


def test_otu_for_out_is_asked_back() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    heard = talk.sends("otu 47", after=60)

    assert heard == [NEAR.format(word="OUT")]
    assert step_of(talk) == "soaking"


def test_what_is_not_understood_gets_the_open_question_again() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    assert talk.sends("what now?", after=20) == ["V1: dried all over? Reply DRY."]


@pytest.mark.parametrize("times", [1, 2, 3, 4, 5, 6])
def test_every_third_miss_in_a_row_offers_a_person(times: int) -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    heard = [talk.sends("hm", after=20) for _ in range(times)][-1]

    offered = "I have asked your contact to call you."
    assert (offered in heard) is (times % 3 == 0)
    assert heard[-1] == "V1: dried all over? Reply DRY."
    assert len(talk.happened(AlertRaised)) == times // 3


@pytest.mark.parametrize("body", ["ok", "thanks", "ok thank you", "\U0001f44d", "Ok!"])
@pytest.mark.parametrize("step", ["soaking", "dry"])
def test_S17_courtesy_is_no_miss_and_calls_nobody(step: str, body: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    heard = [talk.sends(body, after=20) for _ in range(4)][-1]

    assert len(heard) == 1
    assert (talk.happened(NotUnderstood), talk.happened(AlertRaised)) == ([], [])


def test_S17_a_question_mark_is_a_miss() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    talk.sends("ok?", after=20)

    assert len(talk.happened(NotUnderstood)) == 1


def test_an_answer_begins_the_count_anew() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.sends("hm", after=20)
    talk.sends("hm", after=20)
    talk.sends("dry", after=20)

    talk.sends("hm", after=20)

    assert talk.happened(AlertRaised) == []


def test_where_no_device_is_in_hand_a_person_is_offered_all_the_same() -> None:
    talk = clinic()
    talk.sends("OPEN")

    heard = [talk.sends("hm", after=20) for _ in range(3)][-1]

    assert heard[0] == "I have asked your contact to call you."
    assert [event.subject for event in talk.happened(AlertRaised)] == [""]


def test_two_possible_dates_are_both_said() -> None:
    talk = clinic(stocked=False)
    talk.let(SiteOpened("s1", "Etc/GMT-3", "17:00", "en", day_order=None))
    talk.sends("OPEN")

    (text,) = talk.sends("03/04/27", after=20)

    assert text == (
        "Is that 2027-04-03 or 2027-03-04 (year-month-day)? Please reply with the right one, "
        "written like that."
    )


@pytest.mark.parametrize("body", ["03/26", "mar 26"])
def test_S5_a_month_alone_is_asked_for_the_day_where_it_counts(body: str) -> None:
    """A month is its last day, the kindest, where it is a maker's expiry and nowhere else."""
    talk = clinic(selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"))
    talk.sends("OPEN")
    talk.sends("270331", after=20)
    talk.sends("L7", after=20)
    talk.sends("POUR J1", after=20)

    heard = talk.sends(body, after=20)

    assert heard == ["Which day of it? Please send the whole date, like 31 mar 26."]


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("31/13/27", "That cannot be. Please look again and write year, month, day, like 270331."),
        ("IN 215", "That cannot be. Please look again and reply once more."),
    ],
)
def test_what_cannot_be_is_said_to_be_so(body: str, expected: str) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")
    if body.startswith("IN"):
        talk = clinic()
        play_cycle(talk, until="immerse")

    (text,) = talk.sends(body, after=20)

    assert text == expected


@pytest.mark.parametrize(
    "body", ["WITHOUTFIGURES", "LOT", "lot no", "L1234567890123", "\u00e9\u4e2d1"]
)
def test_a_lot_that_cannot_be_one_is_asked_for_again(body: str) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")
    talk.sends("270331", after=20)

    (text,) = talk.sends(body, after=20)

    assert text.startswith("Its lot, 2 to 12 letters and figures?")


@pytest.mark.parametrize(
    ("body", "lot"),
    [
        ("l 77 a", "L77A"),
        ("none", ""),
        ("L12345678901", "L12345678901"),
        ("LOT D4417", "D4417"),
        ("Lot: D4417", "D4417"),
        ("lot no D4417", "D4417"),
        ("lot nr. D 4417", "D4417"),
        ("lot number is D4417", "D4417"),
        ("batch #D4417", "D4417"),
        ("no. D4417", "D4417"),
        ("lot L12345678901", "L12345678901"),
    ],
)
def test_a_lot_is_taken_as_printed_or_none(body: str, lot: str) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")
    talk.sends("270331", after=20)

    talk.sends(body, after=20)

    assert talk.clinic.containers["J1"].lot == lot


def test_ambiguous_words_get_the_question_again() -> None:
    talk = clinic()
    play_cycle(talk, until="inspect")

    (text,) = talk.sends("sound damaged", after=20)

    assert text.startswith("V1: no damage and a dry plug: SOUND.")
    assert step_of(talk) == "inspect"


@pytest.mark.parametrize(("body", "word"), [("spil", "SPILL"), ("usd v2 0412", "USED")])
def test_S7_S20_a_near_miss_of_a_command_is_asked_back_whatever_question_is_open(
    body: str, word: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="dip")

    (heard,) = talk.sends(body, after=20)

    assert heard.startswith(f"Did you mean {word}?")
    assert step_of(talk) == "dip"


def test_S17_what_is_still_wet_is_no_spill() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    heard = talk.sends("still wet", after=20)

    assert not any("SPILL" in text for text in heard)


@pytest.mark.parametrize(
    "body", ["help me", "please call me", "I need help", "can someone call us?", "call my contact"]
)
@pytest.mark.parametrize("step", ["", "dry"])
def test_S17_who_asks_to_be_called_is_called_at_once(step: str, body: str) -> None:
    talk = clinic()
    if step:
        play_cycle(talk, until=step)

    heard = talk.sends(body, after=20)

    assert heard[0] == "I have asked your contact to call you."
    assert len(heard) == (2 if step else 1)
    assert not step or step_of(talk) == step
    assert [event.cause for event in talk.happened(AlertRaised)] == ["not_understood"]
    assert talk.happened(NotUnderstood) == []


@pytest.mark.parametrize("body", ["help", "call", "help V1 fell", "the doctor will call me later"])
def test_S17_other_words_of_help_are_no_such_call(body: str) -> None:
    talk = clinic()

    talk.sends(body)

    assert [each.cause for each in talk.happened(AlertRaised)] in ([], ["quarantined"])
    assert "I have asked your contact to call you." not in talk.heard.get("ph1", [])

"""A label that is told otherwise once it has been noted: the earlier date counts (S5, S18)."""

from datetime import UTC, datetime

import pytest

from flows.parts.events import AlertRaised, FreeText, LifeShortened
from tests.kit.talk import Talk, clinic
from tests.kit.two_products import GLUTARAL

END_OF_MARCH = datetime(2026, 3, 31, 21, tzinfo=UTC)
"""2026-03-31, its last minute by a clock three hours ahead of UTC; the jug was noted with 2027."""


def labelled(*, strips: bool = False) -> Talk:
    """A jug, or strips, whose label has just been read out."""
    talk = clinic(stocked=strips)
    for text in ("OPEN S" if strips else "OPEN", "270331", "L77"):
        talk.sends(text, after=20)
    return talk


@pytest.mark.parametrize(
    "text",
    [
        "OPEN J1 260331",
        "OPEN J1 EXPIRES 260331",
        "OPEN J1 260331 L77",
        "J1 EXPIRES 260331",
        "J1 260331",
        "260331",
        "sorry 260331",
        "expiry is 260331",
    ],
)
def test_S5_an_earlier_expiry_that_is_told_after_the_label_counts(text: str) -> None:
    talk = labelled()

    (said,) = talk.sends(text, after=30)

    assert said.startswith("J1: its date was wrong and is earlier. Write on its label: good to")
    assert [each.tag for each in talk.happened(LifeShortened)] == ["J1"]
    assert talk.clinic.containers["J1"].discard_by == END_OF_MARCH


@pytest.mark.parametrize("lot", ["L77", "none", "L78"])
def test_S5_it_counts_for_what_no_lot_tells_from_it_too(lot: str) -> None:
    talk = labelled()
    for text in ("OPEN", "270331", lot):
        talk.sends(text, after=20 * 60)

    heard = talk.sends("OPEN J1 260331", after=30)

    is_other = lot == "L78"
    assert [each.tag for each in talk.happened(LifeShortened)] == ["J1", "J2"][: 2 - is_other]
    assert (talk.clinic.containers["J2"].discard_by == END_OF_MARCH) is not is_other
    assert [each.split(":")[0] for each in heard] == ["J1", "J2"][: 2 - is_other]


def test_S5_so_it_does_of_strips_that_are_not_tested_yet() -> None:
    talk = labelled(strips=True)
    talk.sends("LATER", after=20)

    talk.sends("OPEN S2 260331", after=600)

    assert talk.clinic.strips["S2"].discard_by == END_OF_MARCH


@pytest.mark.parametrize("text", ["OPEN J1 270930", "OPEN J1", "OPEN J1 please", "J1 270930"])
def test_S5_a_later_one_stays(text: str) -> None:
    talk = labelled()

    (said,) = talk.sends(text, after=30)

    assert said == "J1 is open already. It is good to the end of 15 May 2026: that date stays."
    assert not talk.happened(LifeShortened)


@pytest.mark.parametrize(
    "text",
    [
        "DATE",
        "wrong date",
        "lot L78",
        "J1 LOT L78",
        "OPEN J1 LOT L78",
        "OPEN J1 opened 260101",
        "OPEN J1 03/31 or 04/05",
    ],
)
def test_S18_what_the_desk_must_put_right_is_answered_and_told_to_the_contact(text: str) -> None:
    talk = labelled()

    (said,) = talk.sends(text, after=30)

    assert said.startswith("J1 is noted with lot L77, good to the end of 15 May 2026. Is it")
    assert [each.about for each in talk.happened(FreeText)] == ["label/J1"]
    assert talk.happened(AlertRaised)[-1].cause == "label_in_doubt"
    assert talk.last("ph9").startswith("A worker tells that the label of J1 may be otherwise")


def test_S18_an_earlier_date_with_another_lot_counts_and_is_told_to_the_contact() -> None:
    talk = labelled()

    talk.sends("OPEN J1 260331 L78", after=30)

    assert talk.clinic.containers["J1"].discard_by == END_OF_MARCH
    assert talk.happened(AlertRaised)[-1].cause == "label_in_doubt"


def test_S18_a_later_date_with_another_lot_moves_nothing_and_is_told_to_the_contact() -> None:
    talk = labelled()

    talk.sends("OPEN J1 270930 L78", after=30)

    assert not talk.happened(LifeShortened)
    assert talk.happened(AlertRaised)[-1].cause == "label_in_doubt"


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("260331", 180),
        ("J9 260331", 30),
        ("DATE?", 30),
        ("hello", 30),
        ("J1 has a lot of foam", 30),
    ],
)
def test_a_date_by_itself_is_of_the_label_only_right_after_it(text: str, after: float) -> None:
    talk = labelled()

    talk.sends(text, after=after)

    assert not talk.happened(LifeShortened)
    assert not talk.happened(FreeText)


def test_S5_of_what_is_thrown_away_nothing_is_noted_any_more() -> None:
    talk = labelled()
    talk.sends("DISCARD J1", after=10)

    talk.sends("J1 260331", after=10)

    assert not talk.happened(LifeShortened)


def test_the_question_that_follows_the_label_stays_open() -> None:
    talk = clinic(stocked=False)
    for text in ("POUR", "270331", "L77"):
        talk.sends(text, after=20)

    talk.sends("DATE", after=20)

    assert [each.top.step for each in talk.clinic.threads.values()] == ["fill"]
    assert [each.about for each in talk.happened(FreeText)] == ["label/J1"]


@pytest.mark.parametrize("text", ["03/26", "J1 mar 26"])
def test_S5_beside_a_question_for_another_day_no_expiry_is_read(text: str) -> None:
    talk = clinic(selection=GLUTARAL)
    for each in ("OPEN", "270331", "L77", "POUR J1"):
        talk.sends(each, after=20)

    talk.sends(text, after=20)

    assert not talk.happened(LifeShortened)
    assert not talk.happened(FreeText)

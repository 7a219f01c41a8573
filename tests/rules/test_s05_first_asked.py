"""S5: what was made while it was asked for is as old as the first asking, however often put.

Each question is put shortly before the site's midnight, and answered after it. The site is three
hours ahead of UTC.
"""

from datetime import UTC, date, datetime, timedelta

import pytest

from flows.parts.clinic import Kind
from flows.parts.events import (
    EvidenceStated,
    JugActivated,
    JugOpened,
    Mixed,
    Poured,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")
MIDNIGHT = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
LATE = MIDNIGHT - timedelta(minutes=5)


def asked_late(talk: Talk, step: str, minutes: float = 15) -> Talk:
    """The cleaning begins so long before midnight, and reaches *step* before it."""
    talk.now = MIDNIGHT - timedelta(minutes=minutes)
    play_cycle(talk, until=step)
    assert talk.now < MIDNIGHT
    return talk


def is_taken_over(talk: Talk) -> None:
    """By a colleague, while the probe lies in its detergent."""
    talk.sends("TAKE V1", phone="ph2")
    talk.sends("READY", phone="ph2", after=20)
    talk.sends("STAYED", phone="ph2", after=20)


def baths(talk: Talk) -> list[Poured]:
    return [each for each in talk.happened(Poured) if each.kind is Kind.BATH]


def after_midnight(talk: Talk, minutes: float = 5) -> None:
    talk.now = MIDNIGHT + timedelta(minutes=minutes)


def test_S5_a_bath_poured_before_it_was_taken_over_counts_from_its_first_question() -> None:
    talk = asked_late(clinic(bath=False), "fill")
    after_midnight(talk)
    is_taken_over(talk)

    talk.sends("POURED", phone="ph2", after=20)

    assert [each.poured < MIDNIGHT for each in baths(talk)] == [True]


def test_S5_chlorine_that_may_have_been_mixed_yesterday_is_not_for_today() -> None:
    """A new solution each day. Source: Reference Manual hosted by the IARC Screening Group,
    Table C-1."""
    talk = asked_late(clinic(selection=CHLORINE), "single_use_mixed", minutes=40)
    after_midnight(talk)
    is_taken_over(talk)

    said, asked = talk.sends("FRESH", phone="ph2", after=60)

    assert said.startswith("It may have been mixed before midnight, so its day is over: ")
    assert asked.startswith("No strip for chlorine 0.1 %")
    assert talk.happened(EvidenceStated) == []

    talk.sends("5% 2 L", phone="ph2", after=20)
    talk.sends("FRESH", phone="ph2", after=60)
    talk.sends("FRESH", phone="ph2", after=20)  # asked whether it is meant here too

    assert [each.bath for each in talk.happened(EvidenceStated)] == ["T1"]


def test_S5_activated_before_something_else_came_between_it_counts_from_then() -> None:
    talk = clinic(selection=GLUTARAL)
    talk.now = LATE
    talk.let(JugOpened("J2", "ga_30", "G1", date(2027, 3, 31), LATE, LATE + timedelta(30), "x"))
    talk.sends("POUR J2")
    after_midnight(talk)
    talk.sends("USED V1")
    talk.sends("0412", after=20)

    talk.sends("ACTIVE", after=20)

    assert talk.happened(JugActivated)[-1].activated < MIDNIGHT


def test_S5_so_does_a_jug_that_a_cleaning_has_asked_for() -> None:
    talk = asked_late(clinic(stocked=False), "jug")
    after_midnight(talk)
    talk.sends("MIX 2 L")
    talk.sends("LATER", after=20)

    talk.sends("270331", after=20)
    talk.sends("L7", after=20)

    assert talk.happened(JugOpened)[-1].opened < MIDNIGHT


def test_S5_and_what_was_asked_for_for_its_own_sake_before_something_else_needed_it() -> None:
    """OPEN, then POUR without a jug: one jug, opened when OPEN was said, asked for once."""
    talk = clinic(stocked=False)
    talk.now = LATE
    talk.sends("OPEN")
    after_midnight(talk)
    talk.sends("POUR")

    talk.sends("270331", after=20)
    talk.sends("L7", after=20)
    talk.sends("FILLED", after=60)
    talk.sends("POURED", after=60)

    assert [each.opened < MIDNIGHT for each in talk.happened(JugOpened)] == [True]
    assert talk.clinic.threads == {}


def test_S10_halfway_through_its_label_the_rest_is_asked() -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")
    talk.sends("270331", after=20)

    (asked,) = talk.sends("POUR", after=20)

    assert asked.startswith("Its lot number from the label?")
    assert len(talk.clinic.threads) == 1


@pytest.mark.parametrize("again", ["POUR B1", "POUR"])
def test_S10_POUR_said_twice_with_its_source_or_without_pours_once(again: str) -> None:
    talk = clinic(bath=False)
    talk.now = LATE
    talk.sends("POUR")
    after_midnight(talk)
    talk.sends(again)

    talk.sends("POURED", after=60)

    assert [each.poured < MIDNIGHT for each in baths(talk)] == [True]
    assert talk.clinic.threads == {}


def test_S5_what_is_poured_anew_is_no_older_than_its_own_question() -> None:
    talk = asked_late(clinic(bath=False), "fill")
    after_midnight(talk)
    talk.sends("TOPPED", after=20)

    talk.sends("POURED", after=60)

    topped, poured = baths(talk)
    assert topped.poured < MIDNIGHT < poured.poured


def test_S5_detergent_mixed_before_midnight_is_of_that_day() -> None:
    talk = clinic()
    talk.now = LATE
    talk.sends("MIX 2 L")
    after_midnight(talk)
    talk.sends("USED V1")
    talk.sends("0412", after=20)

    (said,) = talk.sends("MIXED K2", after=60)

    assert said.startswith("It was mixed before midnight, or its time is up: its day is over.")
    assert not talk.happened(Mixed)


def test_S5_a_question_kept_open_by_an_older_release_counts_from_its_asking() -> None:
    """Its frame remembers nothing yet."""
    talk = clinic(bath=False)
    talk.sends("POUR")
    (thread,) = talk.clinic.threads.values()
    assert thread.top.memo["since"] == thread.asked_at.isoformat()


@pytest.mark.parametrize("said", ["POUR", "POUR B1"])
def test_S5_what_a_cleaning_asks_for_as_well_is_poured_once(said: str) -> None:
    talk = clinic(bath=False)
    talk.now = LATE
    talk.sends(said)
    play_cycle(talk, until="fill")
    after_midnight(talk)

    talk.sends("POURED", after=60)

    assert [each.poured < MIDNIGHT for each in baths(talk)] == [True]
    assert len(talk.clinic.threads) == 1


def test_S5_so_is_a_jug_that_a_pour_was_waiting_for() -> None:
    talk = clinic(stocked=False)
    talk.now = LATE
    talk.sends("POUR")
    after_midnight(talk)
    play_cycle(talk, until="jug")

    talk.sends("270331", after=20)
    talk.sends("L7", after=20)

    assert [each.opened < MIDNIGHT for each in talk.happened(JugOpened)] == [True]
    assert len(talk.clinic.threads) == 1

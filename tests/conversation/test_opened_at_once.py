"""OPEN with the expiry and the lot behind it: one text does, and what was read is said back."""

from datetime import date

import pytest

from flows.parts.events import JugOpened, Recalled, StripBottleOpened
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, clinic

READ = (
    "I noted expiry 31 Mar 2027, lot A1234. If that is wrong: DISCARD and its tag, then OPEN "
    "again."
)


@pytest.mark.parametrize(
    "said",
    [
        *("OPEN 270331 A1234", "open jug 270331 lot A1234", "OPEN OPA 0.55 % 31/03/27 A1234"),
        *("OPEN 270331 A1234 please", "OPEN LOT A1234 EXP 270331", "OPEN A1234 31 mar 27"),
    ],
)
def test_one_text_opens_a_jug(said: str) -> None:
    talk = clinic()

    label, read = talk.sends(said)

    (jug,) = [each for each in talk.happened(JugOpened) if each.tag == "J2"]
    assert (jug.expires, jug.lot) == (date(2027, 3, 31), "A1234")
    assert label.startswith("Write on it: J2-O OPA 0.55 %, lot A1234, good to ")
    assert read == READ
    assert talk.clinic.threads == {}


def test_S4_strips_are_still_tested_with_good_and_diluted_solution() -> None:
    talk = clinic()

    read, asked = talk.sends("OPEN STRIPS 270331 A1234")

    assert read == READ
    assert asked.startswith("Test the new strips: ")
    assert len(talk.happened(StripBottleOpened)) == 1


def test_a_date_alone_leaves_the_lot_to_be_asked_for() -> None:
    (asked,) = clinic().sends("OPEN 270331")

    assert asked.startswith("Its lot number from the label?")
    assert "I noted expiry 31 Mar 2027" in asked


def test_a_lot_that_is_not_clear_is_asked_for() -> None:
    (asked,) = clinic().sends("OPEN 270331 A1234 or B1234")

    assert asked.startswith("Its lot number from the label?")


@pytest.mark.parametrize(
    "said", ["OPEN 27 A1234", "OPEN 03.04 A1234", "OPEN A1234", "OPEN 990331 A1"]
)
def test_what_is_not_clear_is_said_so_and_asked_for_one_at_a_time(said: str) -> None:
    unread, asked = clinic().sends(said)

    assert unread == "I could not read for certain what stood behind OPEN. One at a time, please."
    assert asked.startswith("New jug of OPA 0.55 %, opened now: its expiry date?")


def test_S5_what_is_expired_is_not_opened() -> None:
    talk = clinic()

    refused, asked = talk.sends("OPEN 260101 A1234")

    assert refused.startswith("Expired 1 Jan 2026: do not take it into use.")
    assert asked.startswith("New jug of OPA 0.55 %")
    assert len(talk.happened(JugOpened)) == 1


def test_S18_nor_what_is_recalled() -> None:
    talk = clinic()
    talk.let(Recalled("r1", "lot", "opa_055", "A1234", "", "digest", NINE))

    heard = talk.sends("OPEN 270331 A1234")

    assert heard[0].startswith("Lot A1234 is recalled: do not take it into use.")
    assert heard[-1].startswith("New jug of OPA 0.55 %")
    assert len(talk.happened(JugOpened)) == 1


def test_S5_a_twin_that_is_out_of_use_is_asked_about() -> None:
    talk = clinic()
    talk.now = talk.clinic.containers["J1"].discard_by

    refused, asked = talk.sends("OPEN 270331 L1")

    assert refused.startswith("J1 is out of use, and no lot tells this from it.")
    assert asked.startswith("Its lot number from the label?")


def test_S10_where_a_cleaning_asks_for_a_jug_it_answers_that() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug")

    heard = talk.sends("OPEN 270331 A1234", after=20)

    assert [each.lot for each in talk.happened(JugOpened)] == ["A1234"]
    assert heard[-1].startswith("Pour J1 into")
    assert len(talk.clinic.threads) == 1


def test_S10_halfway_through_its_label_it_begins_anew() -> None:
    talk = clinic()
    talk.sends("OPEN")
    talk.sends("280331", after=20)

    talk.sends("OPEN 270331 A1234", after=20)

    assert [each.expires for each in talk.happened(JugOpened)[1:]] == [date(2027, 3, 31)]
    assert talk.clinic.threads == {}

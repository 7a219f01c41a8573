"""OPEN with the expiry and the lot behind it: what was read is said back before it is opened."""

from datetime import date

import pytest

from flows.parts.events import JugOpened, Recalled, SiteOpened
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, clinic

READ = (
    "I noted expiry 31 Mar 2027; DATE if that is wrong. Is its lot A1234? Then reply LOT A1234. "
    "Else its lot alone; NONE if it has none."
)
UNREAD = "I could not read for certain what stood behind OPEN. One at a time, please."
ASKED = "New jug of OPA 0.55 %, opened now: its expiry date?"


@pytest.mark.parametrize(
    "said",
    [
        *("OPEN 270331 A1234", "open jug 270331 lot A1234", "OPEN OPA 0.55 % 31/03/27 A1234"),
        *("OPEN 270331 A1234 please", "OPEN LOT A1234 EXP 270331", "OPEN A1234 31 mar 27"),
        *("OPEN OPA 0.55% 270331 A1234", "OPEN EXP 0327 LOT A1234", "OPEN LOT A1234 0327"),
        *("OPEN A1234 EXPIRY 31 march 27", "OPEN new jug V1 270331 A1234"),
    ],
)
def test_an_expiry_and_a_lot_are_said_back_and_one_word_opens_the_jug(said: str) -> None:
    talk = clinic()

    (read,) = talk.sends(said)
    (label,) = talk.sends("LOT A1234", after=20)

    (jug,) = [each for each in talk.happened(JugOpened) if each.tag == "J2"]
    assert read == READ
    assert (jug.expires, jug.lot, jug.opened) == (date(2027, 3, 31), "A1234", NINE)
    assert label.startswith("Write on it: J2-O OPA 0.55 %, lot A1234, good to ")
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("said", ["OPEN STRIPS 270331 A1234", "OPEN S 270331 A1234"])
def test_S4_strips_are_still_tested_with_good_and_diluted_solution(said: str) -> None:
    talk = clinic()

    (read,) = talk.sends(said)
    label, asked = talk.sends("LOT A1234", after=20)

    assert read == READ
    assert label.startswith("Write on it: S2-")
    assert asked.startswith("Test the strips of S2: ")


@pytest.mark.parametrize("said", ["OPEN 270331", "OPEN 270331 A1234 or B1234", "OPEN EXP 270331"])
def test_a_lot_that_is_lacking_or_not_clear_is_asked_for(said: str) -> None:
    (asked,) = clinic().sends(said)

    assert asked.startswith("Its lot number from the label?")
    assert "I noted expiry 31 Mar 2027" in asked


@pytest.mark.parametrize(
    "said",
    [
        *("OPEN 27 A1234", "OPEN A1234", "OPEN 990331 A1", "OPEN 27 03 28 A1234"),
        *("OPEN A1234 27 03 28", "OPEN LOT A1234 EXP 27 12 28", "OPEN FRIDGE 270331 A1234"),
        *("OPEN NOT 270331 A1234", "OPEN 270331 A1234?"),
        *("OPEN EXP LOT 270331", "OPEN LOT 270331", "OPEN TWO JUGS 270331 A1234"),
        *("OPEN 270331 D44 ? 7", "OPEN 270331 D44 _ 7"),
        *("OPEN 290331 260310", "OPEN 260310 290331", "OPEN LOT 250310 270331"),
        *("OPEN 03 28 26 D4417", "OPEN 12 28 26 D4417", "OPEN 3/28 27 D4417"),
        *("OPEN D4417 3/28 27", "OPEN 270331 K3 opened 1 MAR"),
        "OPEN 270331 D9 OPENED 260301",
        *("OPEN MADE 250331 EXP 270331", "OPEN MFG 270331", "OPEN 270331 made 250331"),
    ],
)
def test_S5_what_may_be_read_otherwise_is_asked_for_one_at_a_time(said: str) -> None:
    talk = clinic()

    unread, asked = talk.sends(said)

    assert unread == UNREAD
    assert asked.startswith(ASKED)
    assert len(talk.happened(JugOpened)) == 1


def test_S5_where_the_site_does_not_say_how_it_writes_dates_an_ambiguous_one_is_asked_for() -> (
    None
):
    talk = clinic()
    talk.let(SiteOpened("s1", "Etc/GMT-3", "17:00", "en", None))

    unread, _ = talk.sends("OPEN 03 04 27 A1234")

    assert unread == UNREAD


@pytest.mark.parametrize("said", ["OPEN 260101 A1234", "OPEN LOT 2712 EXP 0226"])
def test_S5_what_is_expired_is_not_opened(said: str) -> None:
    talk = clinic()

    refused, asked = talk.sends(said)

    assert refused.startswith("Expired ")
    assert asked.startswith(ASKED)
    assert len(talk.happened(JugOpened)) == 1


def test_S18_nor_what_is_recalled_and_its_lot_is_not_proposed_again() -> None:
    talk = clinic()
    talk.let(Recalled("r1", "lot", "opa_055", "A1234", "", "digest", NINE))
    talk.sends("OPEN 270331 A1234")

    heard = talk.sends("LOT A1234", after=20)
    (asked,) = talk.sends("280331", after=20)

    assert heard[0].startswith("Lot A1234 is recalled: do not take it into use.")
    assert heard[1:] == [each for each in heard[1:] if each.startswith(ASKED)]
    assert asked.startswith("Its lot number from the label?")
    assert len(talk.happened(JugOpened)) == 1


def test_S10_said_twice_by_a_carrier_it_opens_one() -> None:
    talk = clinic()
    talk.sends("OPEN 270331 A1234")

    again = talk.sends("OPEN 270331 A1234", after=1)
    talk.sends("LOT A1234", after=20)

    assert again == [READ]
    assert len(talk.happened(JugOpened)) == 2
    assert talk.clinic.threads == {}


def test_S10_where_a_cleaning_asks_for_a_jug_it_answers_that() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug")
    talk.sends("OPEN 270331 A1234", after=20)

    heard = talk.sends("LOT A1234", after=20)

    assert [each.lot for each in talk.happened(JugOpened)] == ["A1234"]
    assert heard[-1].startswith("Pour J1 into")
    assert len(talk.clinic.threads) == 1


def test_S10_halfway_through_its_label_it_begins_anew() -> None:
    talk = clinic()
    talk.sends("OPEN")
    talk.sends("280331", after=20)

    talk.sends("OPEN 270331 A1234", after=20)
    talk.sends("LOT A1234", after=20)

    assert [each.expires for each in talk.happened(JugOpened)[1:]] == [date(2027, 3, 31)]
    assert talk.clinic.threads == {}


def test_a_tag_is_one_only_where_it_stands_first() -> None:
    """Behind a date it may be the lot."""
    talk = clinic()

    assert talk.sends("OPEN J1")[0].startswith("J1 is open already.")
    assert talk.sends("OPEN new jug J9")[0].startswith("There is no J9 here")
    assert "Is its lot B77?" in talk.sends("OPEN 270331 B77")[0]


def test_words_without_a_figure_change_nothing_but_what_is_opened() -> None:
    assert clinic().sends("OPEN ANOTHER ONE")[0].startswith(ASKED)

"""OPEN OPA 5 L, POUR J1 500 ML, FILLED 500 ML: a volume said stands on record and label."""

from decimal import Decimal

import pytest

from flows.parts.events import JugOpened, Poured, SiteChoiceMade
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

READ = (
    "I noted expiry 31 Mar 2027; DATE if that is wrong. Is its lot D4417? Then reply LOT D4417. "
    "Else its lot alone; NONE if it has none."
)
UNREAD = "I could not read for certain what stood behind OPEN. One at a time, please."


def opened(talk: Talk) -> JugOpened:
    return talk.happened(JugOpened)[-1]


def poured(talk: Talk) -> Poured:
    return talk.happened(Poured)[-1]


# -- OPEN ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "said",
    [
        *("OPEN OPA 5 L 270331 D4417", "OPEN 5L 270331 lot D4417", "open 270331 D4417 5 litres"),
        *("OPEN 270331 5000 ml D4417", "OPEN new 5 L jug 270331 D4417"),
        *("OPEN EXP 31 mar 27 LOT D4417 5 L", "OPEN OPA 0.55 % 5.0 L 270331 D4417"),
    ],
)
def test_the_volume_of_a_jug_is_read_wherever_it_stands(said: str) -> None:
    talk = clinic()

    (read,) = talk.sends(said)
    (label,) = talk.sends("LOT D4417", after=20)

    assert read == READ
    assert (opened(talk).volume_ml, opened(talk).lot) == (5000, "D4417")
    assert label.startswith("Write on it: J2-O 5 L OPA 0.55 %, lot D4417, good to ")
    assert talk.sends("STATE J2")[0].startswith("J2: 5 L jug of OPA 0.55 %, ")


@pytest.mark.parametrize("said", ["OPEN OPA 2.5 L", "OPEN a 2.5L jug", "OPEN 2500 ML"])
def test_a_volume_alone_is_kept_until_the_rest_is_told(said: str) -> None:
    talk = clinic()
    talk.let(SiteChoiceMade("site", "jug_volume", "5 L", ""))

    (asked,) = talk.sends(said)
    talk.sends("270331", after=20)
    talk.sends("D4417", after=20)

    assert asked.startswith("New jug of OPA 0.55 %, opened now: its expiry date?")
    assert opened(talk).volume_ml == Decimal(2500)


@pytest.mark.parametrize(
    "said",
    [
        *("OPEN 5 L 4 L 270331 D4417", "OPEN 50 L 270331 D4417", "OPEN 5 L 270331 D4417?"),
        *("OPEN 1 gallon 270331 D4417", "OPEN 5 270331 D4417", "OPEN 27 03 15 L D4417"),
    ],
)
def test_what_may_be_no_volume_or_another_is_none(said: str) -> None:
    """27 L may be a year and its lot: no jug that one lifts holds more than 25 L."""
    talk = clinic()

    unread, _ = talk.sends(said)
    talk.sends("270331", after=20)
    talk.sends("D4417", after=20)

    assert unread == UNREAD
    assert opened(talk).volume_ml is None


def test_S18_an_L_for_lot_behind_a_year_makes_no_volume_of_it() -> None:
    talk = clinic()

    talk.sends("OPEN 31 mar 27 L D4417")
    talk.sends("LOT D4417", after=20)

    assert (opened(talk).lot, opened(talk).volume_ml) == ("D4417", None)


def test_S10_OPEN_once_more_is_of_another_jug_with_a_volume_of_its_own() -> None:
    talk = clinic()
    talk.sends("OPEN 5 L 270331")

    talk.sends("OPEN 270331", after=20)
    talk.sends("D4417", after=20)

    assert opened(talk).volume_ml is None


def test_S4_a_bottle_of_bleach_holds_what_is_said() -> None:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))

    talk.sends("OPEN 750 ML 270331 D4417")
    talk.sends("LOT D4417", after=20)

    assert opened(talk).volume_ml == 750


# -- POUR ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        *(("POUR J1 500 ML", "FILLED"), ("pour 1/2 L J1", "filled"), ("POUR J1", "FILLED 500 ML")),
        *(("POUR J1 half a litre OPA", "FILLED"), ("POUR J1", "filled half a litre of OPA")),
        ("POUR J1 2 L", "FILLED 500 ml"),
    ],
)
def test_the_volume_of_a_bottle_is_read_with_POUR_or_with_FILLED(asked: str, answer: str) -> None:
    talk = clinic()
    talk.let(SiteChoiceMade("site", "bottle_volume", "1 L", ""))

    talk.sends(asked)
    (label,) = talk.sends(answer, after=60)

    assert poured(talk).volume_ml == 500
    assert label.startswith("Write on it: B2-T 500 mL OPA 0.55 %, lot L1, ")
    assert talk.sends("STATE B2")[0].startswith("B2: 500 mL bottle of OPA 0.55 %, ")


@pytest.mark.parametrize(
    ("asked", "answer"), [("POUR 2 L", "POURED"), ("POUR B1 2L", "poured"), ("POUR", "POURED 2 L")]
)
def test_a_bath_that_holds_more_than_to_its_line_has_that_on_the_record(
    asked: str, answer: str
) -> None:
    talk = clinic()

    talk.sends(asked)
    (label,) = talk.sends(answer, after=60)

    assert poured(talk).volume_ml == 2000
    assert label.startswith("Write on it: T2-B 2 L OPA 0.55 %, ")


BELOW = (
    "100 mL does not fill a bath to its line: 150 mL at least. Fill it to the line, please, and "
    "send that again with the right volume, or without one."
)


def test_S3_what_does_not_reach_to_the_line_is_no_bath() -> None:
    """What is not under to its line has not soaked; 150 ml: the device file."""
    talk = clinic()

    assert talk.sends("POUR 100 ML") == [BELOW]
    assert talk.sends("POUR B1 100 ML") == [BELOW]
    talk.sends("POUR")
    assert talk.sends("POURED 100 ML", after=60) == [BELOW]
    assert talk.happened(Poured)[2:] == []
    assert talk.sends("POURED", after=60)[0].startswith("Write on it: T2-B OPA 0.55 %, ")
    assert poured(talk).volume_ml == 150


@pytest.mark.parametrize(
    "said",
    [
        *("POUR J1 500", "POUR 500", "POUR 2 baths", "POUR J1 500 L", "POUR 1 L 2 L"),
        *("POUR J1 1 pint", "POUR J1 5% 1 L", "POUR J1 20 g"),
    ],
)
def test_how_much_cannot_be_read_is_asked_back(said: str) -> None:
    talk = clinic()

    assert talk.sends(said) == [
        (
            "I cannot read how much is poured. One volume, please, from 50 ML to 50 L, like POUR "
            "J1 500 ML; or no number at all."
        )
    ]
    assert talk.clinic.threads == {}


@pytest.mark.parametrize(
    "said",
    [
        *("FILLED 500", "FILLED 500 ML?", "FILLED 5% 1 L", "FILLED 500 L"),
    ],
)
def test_S10_a_bottle_is_not_filled_by_words_that_may_say_otherwise(said: str) -> None:
    talk = clinic()
    (question,) = talk.sends("POUR J1")

    assert talk.sends(said, after=60)[-1] == question
    assert talk.happened(Poured)[2:] == []


@pytest.mark.parametrize("said", ["FILLED 500 ML but it was not dry", "FILLED NOT 500 ML"])
def test_S6_what_is_said_beside_it_is_said_to_be_not_noted(said: str) -> None:
    talk = clinic()
    (question,) = talk.sends("POUR J1")

    heard = talk.sends(said, after=60)

    assert heard[0].endswith("in doubt? FAULT J1.")
    assert heard[1] == question
    assert talk.happened(Poured)[2:] == []


def test_S6_TOPPED_with_a_volume_is_topped() -> None:
    talk = clinic()
    talk.sends("POUR J1")

    talk.sends("TOPPED 200 ML", after=60)

    assert poured(talk).topped_up


def test_in_a_cleaning_the_bottle_holds_what_is_said_too() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="fill")

    talk.sends("FILLED 500 ML", after=60)

    assert poured(talk).volume_ml == 500


def test_S10_POUR_with_a_volume_answers_the_cleaning_that_asks_for_a_bath_already() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")

    talk.sends("POUR 2 L", after=20)
    talk.sends("POURED", after=60)

    assert (poured(talk).tag, poured(talk).volume_ml) == ("T1", 2000)
    assert len(talk.clinic.threads) == 1

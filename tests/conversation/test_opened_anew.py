"""OPEN: a label that was read out in the wrong order is asked back, or said anew (S5, S10)."""

from datetime import date, timedelta

import pytest

from flows.parts.events import JugOpened, StripBottleOpened
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

WAYS = pytest.mark.parametrize("command", ["OPEN", "OPEN S"])


def says(talk: Talk, *texts: str) -> list[str]:
    """One after the other, as fast as labels are read; what is heard at the end."""
    heard: list[str] = []
    for text in texts:
        heard = talk.sends(text, after=20)
    return heard


def opened(talk: Talk) -> JugOpened | StripBottleOpened:
    """The only one that has been opened here."""
    (one,) = (*talk.happened(JugOpened), *talk.happened(StripBottleOpened))
    return one


@WAYS
def test_S10_open_said_again_at_the_lot_asks_for_the_expiry_again(command: str) -> None:
    talk = clinic(stocked=False)
    says(talk, command, "270331")

    (text,) = says(talk, command)
    says(talk, "280331", "L77")

    assert "its expiry date?" in text
    assert (opened(talk).expires, opened(talk).lot) == (date(2028, 3, 31), "L77")
    assert len(talk.clinic.threads) == (command == "OPEN S")


def test_S10_so_it_does_within_a_cleaning() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug")
    says(talk, "270331")

    (text,) = says(talk, "OPEN")

    assert "its expiry date?" in text
    assert step_of(talk) == "jug"
    assert len(talk.clinic.threads) == 1


def test_S10_open_said_by_another_person_leaves_the_lot_of_the_first_alone() -> None:
    talk = clinic(stocked=False)
    says(talk, "OPEN", "270331")

    talk.sends("OPEN", phone="ph2", after=20)
    says(talk, "L77")

    assert opened(talk).expires == date(2027, 3, 31)


def test_S10_a_jug_and_strips_are_asked_about_apart() -> None:
    talk = clinic(stocked=False)
    says(talk, "OPEN", "270331")

    (text,) = says(talk, "OPEN S")

    assert text.startswith("New strip bottle")
    assert len(talk.clinic.threads) == 2


@WAYS
def test_S5_said_anew_it_counts_as_open_from_when_it_was_first_asked_about(command: str) -> None:
    talk = clinic(stocked=False)
    says(talk, command)
    asked = talk.now

    says(talk, "270331")
    talk.sends("DATE", after=1200)
    talk.sends("280331", after=1200)
    says(talk, "L77")

    assert opened(talk).opened == asked


@WAYS
@pytest.mark.parametrize(
    "said", ["280331", "310328", "31 mar 28", "0328", "MAY27", "040327", "270931"]
)
def test_S5_a_date_that_is_to_come_is_not_taken_for_the_lot(command: str, said: str) -> None:
    talk = clinic(stocked=False)
    says(talk, command, "270331")

    (text,) = says(talk, said)
    (asked,) = says(talk, "DATE")

    lot = said.upper().replace(" ", "")
    assert text == (
        f"Is {lot} its lot number? Then reply LOT {lot}. Is it a date? Reply DATE, and I ask for "
        "the expiry again."
    )
    assert "its expiry date?" in asked
    assert not talk.happened(JugOpened)


@WAYS
def test_S5_with_the_word_before_it_it_is_the_lot(command: str) -> None:
    talk = clinic(stocked=False)

    says(talk, command, "270331", "280331", "lot 280331")

    assert (opened(talk).expires, opened(talk).lot) == (date(2027, 3, 31), "280331")


@WAYS
@pytest.mark.parametrize("said", ["250917", "260301", "881234", "K208", "1300"])
def test_S5_figures_that_are_no_date_to_come_are_a_lot(command: str, said: str) -> None:
    """A day that is over stands on labels too: when it was made. Common practice, no source."""
    talk = clinic(stocked=False)
    assert talk.now.date() == date(2026, 3, 2)

    says(talk, command, "270331", said)

    assert opened(talk).lot == said


def test_S5_today_is_to_come() -> None:
    talk = clinic(stocked=False)
    says(talk, "OPEN", "270331")

    (text,) = says(talk, f"{talk.now + timedelta(hours=3):%y%m%d}")

    assert text.startswith("Is 260302 its lot number?")

"""EMPTY and LATER outside of a cleaning are answered like anything else."""

from datetime import date, timedelta

import pytest

from flows.parts.events import (
    ContainerCondemned,
    ContainerHeld,
    JugOpened,
    Poured,
    StripBottleOpened,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import clinic

NOTHING_OPENED = (
    "All right, nothing is noted as opened. Without it no probe can be soaked: please tell your "
    "contact. When there is some: OPEN, for strips OPEN S."
)


def still_here(tags: str) -> str:
    return (
        f"All right, nothing is noted as opened. For use here: {tags}. If that will not do, tell "
        "your contact. For a new one: OPEN, for strips OPEN S."
    )


@pytest.mark.parametrize(
    ("command", "answer", "said"),
    [
        ("OPEN", "empty", still_here("J1, B1")),
        ("OPEN S", "EMPTY.", still_here("S1")),
        ("POUR", "later", "All right, nothing is noted as poured. Later: POUR."),
        ("POUR J1", "later", "All right, nothing is noted as poured. Later: POUR."),
        ("MIX 2 L", "later", "All right, nothing is noted as mixed. Later: MIX 2 L."),
    ],
)
def test_what_is_put_off_is_answered(command: str, answer: str, said: str) -> None:
    talk = clinic(bath=False)
    events = len(
        talk.happened(JugOpened) + talk.happened(Poured) + talk.happened(StripBottleOpened)
    )
    talk.sends(command)

    assert talk.sends(answer, after=20) == [said]
    assert talk.clinic.threads == {}
    assert events == len(
        talk.happened(JugOpened) + talk.happened(Poured) + talk.happened(StripBottleOpened)
    )


@pytest.mark.parametrize("command", ["OPEN", "OPEN S"])
def test_S8_where_nothing_else_is_for_use_the_contact_is_to_be_told(command: str) -> None:
    """What is held or condemned soaks no probe, and judges none."""
    talk = clinic()
    talk.let(*(ContainerCondemned(tag, "figure_recalled") for tag in ("J1", "B1", "S1")))
    talk.let(ContainerHeld("T1", "kin_failed"))
    talk.sends(command)

    assert talk.sends("empty", after=20) == [NOTHING_OPENED]


def test_S8_another_product_is_no_solution_here() -> None:
    talk = clinic(stocked=False)
    day, tomorrow = date(2027, 3, 31), talk.now + timedelta(days=1)
    talk.let(JugOpened("J1", "ga_30", "D4410", day, talk.now, tomorrow, "maker_expiry"))
    talk.sends("OPEN")

    assert talk.sends("empty", after=20) == [NOTHING_OPENED]


def test_a_pour_for_which_there_is_no_jug_ends_with_that() -> None:
    talk = clinic(stocked=False)
    talk.sends("POUR")

    assert talk.sends("empty", after=20) == [NOTHING_OPENED]
    assert talk.clinic.threads == {}


def test_a_bath_for_which_no_bottle_is_filled_now_ends_with_that() -> None:
    talk = clinic(bath=False)
    talk.sends("DISCARD B1")
    talk.sends("POUR", after=20)

    assert talk.sends("later", after=20) == ["All right, nothing is noted as poured. Later: POUR."]
    assert talk.clinic.threads == {}


def test_within_a_cleaning_a_bottle_cannot_wait() -> None:
    talk = clinic(bath=False)
    talk.sends("DISCARD B1")
    play_cycle(talk, until="fill")

    (asked,) = talk.sends("later", after=20)

    assert asked.startswith("Pour J1 into an empty, washed, dry working bottle.")


def test_what_is_put_off_beside_a_cleaning_leads_back_to_it() -> None:
    talk = clinic()
    play_cycle(talk, until="wipe_water")
    talk.sends("POUR", after=20)

    said, asked = talk.sends("later", after=20)

    assert said.startswith("All right, nothing is noted as poured.")
    assert asked.startswith("V1: ")


def test_within_a_cleaning_the_next_question_is_the_answer() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")

    said = talk.sends("later", after=20)

    assert step_of(talk) != "fill"
    assert not any("noted as poured" in each for each in said)

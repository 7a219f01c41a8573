"""A stranger's texts: dates, temperatures and amounts, taken, asked back or kindly refused."""

import pytest

from flows.parts.events import BathTooCold, ContainerDiscarded, Immersed, JugOpened
from tests.conversation.keypad import AMOUNTS, DATES, TEMPERATURES
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic


@pytest.mark.parametrize(("raw", "expected"), DATES)
def test_S5_an_expiry_as_typed(raw: str, expected: str) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    (heard,) = talk.sends(raw, after=20)
    talk.sends("L77", after=20)

    taken = [each.expires.isoformat() for each in talk.happened(JugOpened)]
    assert taken == [expected] or (taken == [] and heard.startswith(expected))
    assert talk.happened(ContainerDiscarded) == []


@pytest.mark.parametrize(("raw", "expected"), TEMPERATURES)
def test_S17_a_bath_as_typed(raw: str, expected: str) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    heard = talk.sends(f"IN {raw}", after=20)

    soaks = [str(each.celsius) for each in talk.happened(Immersed)]
    assert soaks == [expected] or (soaks == [] and heard[-1].startswith(expected))
    cold = [str(each.celsius) for each in talk.happened(BathTooCold)]
    assert cold == [] or heard[-1].startswith(f"{cold[0]} C: the limit is")


@pytest.mark.parametrize(("raw", "expected"), AMOUNTS)
def test_an_amount_as_typed(raw: str, expected: str) -> None:
    talk = clinic()

    heard = talk.sends(f"MIX {raw}")

    assert heard[0].startswith(expected)


def test_there_are_ways_enough_in_each_table() -> None:
    """Sixty at least in all, each once; taken, asked back and refused are all among them."""
    rows = [*DATES, *TEMPERATURES, *AMOUNTS]

    assert len(rows) >= 60
    assert all(
        len({raw for raw, _ in table}) == len(table) for table in (DATES, TEMPERATURES, AMOUNTS)
    )


@pytest.mark.parametrize("answer", ["20270331", "31 mar 27", "2027-03-31"])
def test_S5_a_doubtful_date_said_as_asked_is_taken(answer: str) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    (heard,) = talk.sends("310327", after=20)
    talk.sends(answer, after=20)
    talk.sends("L77", after=20)

    assert heard == (
        "Is that 2031-03-27 or 2027-03-31 (year-month-day)? Please reply with the right one, "
        "written like that."
    )
    assert [each.expires.isoformat() for each in talk.happened(JugOpened)] == ["2027-03-31"]


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        ("270229", "That month ends on 28 Feb 2027. Please"),
        ("31 jun 27", "That month ends on 30 Jun 2027. Please"),
        ("20270300", "That month ends on 31 Mar 2027. Please"),
        ("271331", "Please"),
    ],
)
def test_S5_of_a_date_that_cannot_be_it_is_said_why_and_how_to_write_it(
    raw: str, why: str
) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    (heard,) = talk.sends(raw, after=20)

    assert heard == f"That cannot be. {why} look again and write year, month, day, like 270331."


def test_S5_the_expiry_is_said_back_and_can_be_put_right() -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    (said,) = talk.sends("280331", after=20)
    (asked,) = talk.sends("date", after=20)
    talk.sends("270331", after=20)
    talk.sends("L77", after=20)

    assert "I noted expiry 31 Mar 2028; DATE if that is wrong." in said
    assert asked.startswith("New jug of OPA 0.55 %, opened now: its expiry date?")
    assert [each.expires.isoformat() for each in talk.happened(JugOpened)] == ["2027-03-31"]


def test_S5_so_it_is_with_strips() -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN S")
    talk.sends("280331", after=20)

    (asked,) = talk.sends("date", after=20)

    assert asked.startswith("New strip bottle for OPA 0.55 %, opened now: its expiry date?")

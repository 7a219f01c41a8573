"""S5: what has stood open is not taken as opened now; the expiry may be put right at the lot."""

from datetime import date

import pytest

from flows.parts.events import JugOpened, StripBottleOpened
from tests.kit.talk import Talk, clinic

OPEN_FOR_LONG = [
    *("opened last week", "already open", "was open before", "opened yesterday"),
    *("seal was broken", "it was opened 3 months ago", "270331 opened yesterday"),
]
SAID = "Opened before now? Then nothing is noted: do not use it"
WAYS = pytest.mark.parametrize("command", ["OPEN", "OPEN S"])


def says(*bodies: str) -> Talk:
    talk = clinic(stocked=False)
    for body in bodies:
        talk.sends(body, after=20)
    return talk


def opened(talk: Talk) -> list[JugOpened | StripBottleOpened]:
    return [*talk.happened(JugOpened), *talk.happened(StripBottleOpened)]


@WAYS
@pytest.mark.parametrize("body", OPEN_FOR_LONG)
def test_S5_what_has_stood_open_is_not_opened_now(command: str, body: str) -> None:
    """OPA: 75 days once opened. Source: from memory of the maker's file."""
    talk = says(command)
    question = talk.last()

    heard = talk.sends(body, after=20)

    assert heard[0].startswith(SAID)
    assert heard[1].partition(":")[2] == question.partition(":")[2]


@WAYS
@pytest.mark.parametrize("body", OPEN_FOR_LONG)
def test_S5_told_at_its_lot_its_expiry_is_asked_for_again_of_another(
    command: str, body: str
) -> None:
    talk = says(command, "270331")

    heard = talk.sends(body, after=20)
    talk.sends("NONE", after=20)

    assert heard[0].startswith(SAID)
    assert "its expiry date?" in heard[1]
    assert opened(talk) == []


@WAYS
@pytest.mark.parametrize("body", ["opened now", "i opened it just now", "new one opened"])
def test_what_is_opened_now_is_no_old_one(command: str, body: str) -> None:
    talk = says(command)

    heard = talk.sends(body, after=20)

    assert not heard[0].startswith(SAID)


@WAYS
@pytest.mark.parametrize(
    "body", ["exp 280131", "expires 31 jan 2028", "EXPIRY 280131", "sorry 280131"]
)
def test_S5_an_expiry_told_at_the_lot_is_the_one_that_counts(command: str, body: str) -> None:
    talk = says(command, "270331")

    heard = talk.sends(body, after=20)
    talk.sends("D44", after=20)

    assert "I noted expiry 31 Jan 2028" in heard[0]
    (one,) = opened(talk)
    assert (one.expires, one.lot) == (date(2028, 1, 31), "D44")


@WAYS
@pytest.mark.parametrize("body", ["exp 260101", "sorry i meant 260101", "oops 260101"])
def test_S5_an_expiry_gone_by_told_at_the_lot_opens_nothing(command: str, body: str) -> None:
    talk = says(command, "270331")

    heard = talk.sends(body, after=20)
    talk.sends("NONE", after=20)

    assert heard[0].startswith("Expired 1 Jan 2026: do not take it into use.")
    assert opened(talk) == []


@WAYS
@pytest.mark.parametrize(
    "body",
    [
        *("270331 no 260331", "270331 and 280331", "no 260331 not 270331", "it is expired"),
        *("expired", "out of date"),
    ],
)
def test_S5_of_two_dates_at_the_lot_or_of_what_is_expired_none_is_opened(
    command: str, body: str
) -> None:
    talk = says(command, "270331")

    heard = talk.sends(body, after=20)
    talk.sends("NONE", after=20)

    assert "its expiry date?" in heard[0]
    assert opened(talk) == []


@WAYS
@pytest.mark.parametrize("body", ["sorry D44", "sorry, no lot", "i 1234"])
def test_S5_what_is_no_date_behind_SORRY_is_asked_about(command: str, body: str) -> None:
    talk = says(command, "270331")

    talk.sends(body, after=20)

    assert opened(talk) == []

"""S2, S18: the answer to a bell that is written without a space is no lot of a new jug."""

import pytest

from flows.parts.events import JugOpened, SoakBroken, StripBottleOpened, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic


def asked_for_a_lot(command: str, step: str = "soaking") -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=step)
    talk.sends(command, after=20)
    talk.sends("270331", after=20)
    return talk


def opened(talk: Talk) -> list[str]:
    made = [*talk.happened(JugOpened), *talk.happened(StripBottleOpened)]
    return [each.lot for each in made if each.tag in {"J2", "S2"}]


@pytest.mark.parametrize("command", ["OPEN", "OPEN S"])
@pytest.mark.parametrize(
    "body", ["OUT{n}", "out{n}.", "V1OUT{n}", "V1 OUT{n}", "OUT-{n}", "0UT{n}"]
)
def test_S2_an_OUT_written_on_to_its_number_answers_the_bell(command: str, body: str) -> None:
    talk = asked_for_a_lot(command)
    wait_for_bell(talk)

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert len(talk.happened(TakenOut)) == 1
    assert opened(talk) == []


@pytest.mark.parametrize("body", ["0UT", "0ut 47", "OUT47", "IN22", "IN22.5", "V1OUT"])
def test_S3_what_can_only_break_a_soak_is_no_lot(body: str) -> None:
    talk = asked_for_a_lot("OPEN")

    talk.sends(body, after=20)

    assert len(talk.happened(SoakBroken)) == 1
    assert opened(talk) == []


@pytest.mark.parametrize("body", ["OUTX47", "IN0047", "A47", "L4711"])
def test_S18_a_lot_is_a_lot(body: str) -> None:
    talk = asked_for_a_lot("OPEN")

    talk.sends(body, after=20)

    assert opened(talk) == [body]
    assert talk.happened(SoakBroken) == []


@pytest.mark.parametrize("body", ["OUT47", "IN22"])
def test_S18_where_nothing_soaks_it_may_be_one(body: str) -> None:
    talk = clinic()
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    talk.sends(body, after=20)

    assert opened(talk) == [body]


@pytest.mark.parametrize("body", ["RINSED{n}", "rinsed{n}", "V1RINSED{n}"])
def test_S2_RINSED_written_on_to_its_number_too(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="await_detergent")
    wait_for_bell(talk)
    talk.wait(seconds=60)

    talk.sends(body.format(n=number_for(talk)), after=100)

    assert step_of(talk) == "dry"

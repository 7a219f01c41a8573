"""S18: a lot is the same however somebody reads it off its label; common practice, no source."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import Recalled
from tests.kit.talk import NINE, Talk, clinic


def recall(talk: Talk, what: str, product: str) -> None:
    talk.let(Recalled("r1", what, product, "D4410", "", "digest", NINE))


@pytest.mark.parametrize(
    "said", ["LOT D4410", "lot no D4410", "LOTD4410", "D441O", "d 44I0", "L D4410"]
)
def test_S18_a_recalled_lot_is_refused_however_it_is_read_off_the_label(said: str) -> None:
    talk = clinic(stocked=False)
    recall(talk, "lot", "opa_055")
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends(said, after=20)

    assert heard[0].startswith("Lot D4410 is recalled: do not take it into use.")
    assert talk.clinic.containers == {}


@pytest.mark.parametrize("said", ["LOT D4410", "D441O"])
def test_S18_so_are_strips(said: str) -> None:
    talk = clinic()
    recall(talk, "strip_lot", "opa_strip_1s_90s")
    talk.sends("OPEN STRIPS", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends(said, after=20)

    assert heard[0].startswith("Lot D4410 is recalled: do not take it into use.")
    assert set(talk.clinic.strips) == {"S1"}


def test_S18_a_lot_that_differs_in_any_other_letter_is_taken() -> None:
    talk = clinic(stocked=False)
    recall(talk, "lot", "opa_055")
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    talk.sends("E4410", after=20)

    assert [each.fitness for each in talk.clinic.containers.values()] == [Fitness.GOOD]

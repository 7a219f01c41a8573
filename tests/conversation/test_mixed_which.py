"""S6, S10: two mixtures asked about at once: a lot alone is never written onto one of them."""

import pytest

from flows.parts.events import Mixed
from flows.protocols.model import Selection
from tests.kit.talk import Talk, clinic


def asks_about(*mixtures: str) -> Talk:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    for body in ("OPEN 270331", "D1", *mixtures):
        talk.sends(body, after=60)
    return talk


BOTH = ("MIX 2 L", "MIX 0.1% 2 L 5%")


@pytest.mark.parametrize("lot", ["L77", "NONE"])
def test_S6_of_two_mixtures_it_is_asked_which_was_mixed(lot: str) -> None:
    talk = asks_about(*BOTH)

    (heard,) = talk.sends(f"MIXED {lot}", after=60)

    assert heard == (
        f"Which of the two is mixed? Reply MIXED CHLORINE {lot}, or MIXED DETERGENT {lot}. "
        "Nothing is noted yet."
    )
    assert talk.happened(Mixed) == []


@pytest.mark.parametrize(
    ("name", "product", "other"),
    [
        ("DETERGENT", "enzymatic", "chlorine"),
        ("CHLORINE", "chlorine", "enzymatic"),
        ("bleach", "chlorine", "enzymatic"),
    ],
)
def test_S10_the_one_that_is_named_is_noted_and_the_other_stays_asked(
    name: str, product: str, other: str
) -> None:
    talk = asks_about(*BOTH)

    talk.sends(f"MIXED {name} L77", after=60)
    talk.sends("MIXED L78", after=60)

    mixed = [(each.product, each.lot) for each in talk.happened(Mixed)]
    assert mixed == [(product, "L77"), (other, "L78")]
    assert talk.clinic.threads == {}


def test_S6_of_two_strengths_it_is_told_by_its_strength() -> None:
    talk = asks_about("MIX 0.1% 2 L 5%", "MIX 0.5% 2 L 5%")

    (heard,) = talk.sends("MIXED L77", after=60)
    talk.sends("MIXED 0.1% L77", after=60)

    assert "MIXED 0.5% L77, or MIXED 0.1% L77" in heard
    assert [each.strength for each in talk.happened(Mixed)] == ["0.1 %"]


def test_S10_what_is_asked_about_alone_is_taken_by_its_lot() -> None:
    talk = asks_about("MIX 2 L")

    talk.sends("MIXED L77", after=60)

    assert [each.lot for each in talk.happened(Mixed)] == ["L77"]

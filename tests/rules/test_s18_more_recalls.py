"""S18: a lot of detergent or bleach; what was never here; and a recall that is said again."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import CaseOpened, ContainerCondemned, JugOpened, Mixed
from tests.kit.talk import NINE, clinic
from tests.rules.test_s18_recall import WEEK, fitness, recall

# -- detergent, bleach and powder ---------------------------------------------------------------


def mixed(tag: str, product: str, lot: str) -> Mixed:
    return Mixed(tag, product, "0.1 %", Decimal(2000), lot, NINE, NINE + timedelta(hours=12), "")


def test_S18_what_was_mixed_from_a_recalled_detergent_is_condemned() -> None:
    talk = clinic()
    talk.let(mixed("M1", "enzymatic", "E1"), mixed("M2", "enzymatic", "E2"))

    recall(talk, product="enzymatic", mark="e1")

    assert (fitness(talk)["M1"], fitness(talk)["M2"]) == (Fitness.CONDEMNED, Fitness.GOOD)


@pytest.mark.parametrize("product", ["chlorine", "chlorine_01", "chlorine_05"])
def test_S18_a_lot_of_bleach_is_that_of_every_strength_mixed_from_it(product: str) -> None:
    """One bottle of bleach is diluted to any of them. Source: common practice, none published."""
    talk = clinic()
    talk.let(
        mixed("M1", "chlorine", "C1"),
        mixed("M2", "enzymatic", "C1"),
        JugOpened("J2", "chlorine_01", "C1", date(2027, 3, 31), NINE, WEEK, "maker_expiry"),
    )

    recall(talk, product=product, mark="C1")

    assert {tag for tag, each in fitness(talk).items() if each is Fitness.CONDEMNED} == {
        "M1", "J2",
    }  # fmt: skip


# -- what nothing here rests on -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "product", "mark", "value"),
    [
        ("lot", "opa_055", "D9", ""),
        ("strip_lot", "opa_strip_1s_90s", "D9", ""),
        ("figure", "opa_055", "contact_time", "1 min"),
    ],
)
def test_S18_of_what_was_never_here_no_supervisor_is_told_that_it_is_void(
    what: str, product: str, mark: str, value: str
) -> None:
    talk = clinic()

    recall(talk, what, product, mark, value, known=False)

    assert talk.happened(CaseOpened) == []
    assert "nothing is void" in talk.last("ph9")
    assert "look-back" not in talk.last("ph9")


def test_S15_said_again_of_what_a_correction_has_brought_under_it_a_recall_counts() -> None:
    talk = clinic()
    recall(talk, mark="L8")
    recall(talk, mark="L8")
    assert talk.happened(ContainerCondemned) == []

    recall(talk, mark="L8", also=("J1",))

    assert {each.tag for each in talk.happened(ContainerCondemned)} == {"J1", "B1", "T1"}
    assert len(talk.clinic.recalls) == 1

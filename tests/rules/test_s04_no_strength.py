"""A bound on a label is no strength: no strip shows half of the chlorine (S4)."""

import pytest

from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

WHY = "Under, about or from-to is no strength"


def chlorine() -> Talk:
    return clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))


@pytest.mark.parametrize("band", ["<5% 2 L", "~5% 2 L", "5-15% 2 L", "5% about 2 L", "5% max 2 L"])
def test_S4_a_bound_on_a_label_is_not_mixed_for_a_soak(band: str) -> None:
    """Household bleach may be labelled in bands: Regulation (EC) 648/2004, Annex VII A (from
    memory)."""
    talk = chlorine()
    play_cycle(talk, until="single_use")

    (why,) = talk.sends(band, after=20)

    assert why.startswith(WHY)
    assert step_of(talk) == "single_use"


def test_S4_no_recipe_of_chlorine_goes_by_a_bound() -> None:
    (why,) = chlorine().sends("MIX 0.1% 2 L <5%")

    assert why.startswith(WHY)

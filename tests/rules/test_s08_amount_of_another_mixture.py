"""S4, S8: an amount that another question asks for takes no mixture back that was told FRESH."""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import ContainerCondemned, CycleVoided, Mixed
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def just_mixed_to_wipe(*devices: str) -> Talk:
    """M1 was told FRESH less than 2 min ago, and the bath of V1 is asked for."""
    selection = Selection("chlorine_01", "", "plastic_probe", "enzymatic")
    talk = clinic(level=Level.BRIEF, selection=selection, devices=devices or ("V1",))
    play_cycle(talk, until="single_use")
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("5% 2 L done", "done 5% 2 L", "5% 2 L gloves on", "5% 2 L all measured"),
        *("5% 2 L clean towel", "measured out, 5% 2 L"),
    ],
)
def test_what_is_said_beside_an_amount_that_changes_nothing_is_let_be(body: str) -> None:
    talk = just_mixed_to_wipe()

    talk.sends(body, after=15)

    assert step_of(talk) == "single_use_mixed"


@pytest.mark.parametrize("body", ["5% 2 L expired", "5% 2 L not measured", "5% 3 L for the tub"])
def test_S4_the_amount_of_a_bath_condemns_no_mixture_to_wipe_with(body: str) -> None:
    talk = just_mixed_to_wipe()
    (mixed,) = talk.happened(Mixed)

    talk.sends(body, after=15)

    assert mixed.tag == "M1"
    assert talk.happened(ContainerCondemned) == talk.happened(CycleVoided) == []


def test_S4_an_amount_that_names_another_probe_condemns_no_bath() -> None:
    talk = just_mixed_to_wipe("V1", "V2")
    play_cycle(talk, until="immerse")

    talk.sends("V2 5% 1 L done", after=20)
    assert talk.happened(ContainerCondemned) == []

    talk.sends("V1 5% 4 L", after=20)
    assert [each.tag for each in talk.happened(ContainerCondemned)] == ["T1"]

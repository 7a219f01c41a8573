"""S3, S6: IN that names another bath than the chosen one is acted on, number or not."""

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import Immersed, PutInBath
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def chosen_anew() -> Talk:
    """On brief texts; T1 was topped up meanwhile, and T2 is chosen."""
    talk = clinic(level=Level.BRIEF)
    talk.sends("POUR")
    talk.sends("POURED", after=60)
    play_cycle(talk, until="immerse")
    talk.sends("TOPPED T1", after=20)
    play_cycle(talk, until="immerse")
    return talk


@pytest.mark.parametrize(
    "body", ["V1 IN T1 23", "IN T1 23", "IN T1", "in T1 21.5 C", "it is in T1 23", "IN 23 T1"]
)
def test_S3_another_bath_is_heard_without_the_number(body: str) -> None:
    """Asked for the number alone, the probe lay in what was topped up and came out READY."""
    talk = chosen_anew()

    talk.sends(body, after=40)

    assert [(each.bath, each.because) for each in talk.happened(PutInBath)] == [
        ("T1", "not_for_use")
    ]
    assert talk.happened(Immersed) == []
    assert talk.clinic.devices["V1"].standing is Standing.IN_CYCLE
    assert step_of(talk) in {"wipe_detergent", "under", "rinse"}


@pytest.mark.parametrize("body", ["IN T2 23", "V1 IN T2 23", "IN T2", "IN 23", "IN 11 T1 23"])
def test_S10_its_own_bath_or_another_number_is_asked_for_the_number(body: str) -> None:
    talk = chosen_anew()

    (said,) = talk.sends(body, after=40)

    assert said.startswith("The number in my last text is missing or another.")
    assert step_of(talk) == "immerse"

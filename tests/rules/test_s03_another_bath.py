"""S3, S6: IN that names another bath than the chosen one is acted on, number or not."""

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import Immersed, PutInBath
from tests.kit.cycles import number_for, play_cycle, step_of
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


def with_an_untested_tub(level: Level) -> Talk:
    """T2 is chosen and its strip has passed; T1 stands beside it, and no strip was in it."""
    talk = clinic(level=level, devices=("V1", "V2"))
    talk.sends("POUR", phone="ph2", after=5)
    talk.sends("POURED", phone="ph2", after=30)
    play_cycle(talk, until="immerse")
    return talk


@pytest.mark.parametrize(
    "body",
    ["T1 in 23", "V1 T1 in 23", "T1: in 23", "T1 now in 23", "T1 it is in 23", "T1 in"],
)
def test_S3_a_tag_before_the_word_is_the_bath_that_was_told(body: str) -> None:
    """The soak was written down in the bath that was asked for, and came out READY."""
    talk = with_an_untested_tub(Level.COACH)

    talk.sends(body, after=40)

    assert talk.happened(Immersed) == []
    assert [(each.bath, each.because) for each in talk.happened(PutInBath)] == [("T1", "no_strip")]


@pytest.mark.parametrize("body", ["T1 in {n} 23", "{n} T1 in 23", "T1 now in {n} 23"])
def test_S3_a_tag_before_the_word_counts_though_the_number_is_right(body: str) -> None:
    talk = with_an_untested_tub(Level.BRIEF)

    talk.sends(body.format(n=number_for(talk, "V1")), after=60)

    assert talk.happened(Immersed) == []
    assert [each.bath for each in talk.happened(PutInBath)] == ["T1"]


@pytest.mark.parametrize("body", ["T9 in 23", "B1 in 23", "J1 in 23"])
def test_S3_what_is_no_bath_before_the_word_is_no_soak_either(body: str) -> None:
    talk = with_an_untested_tub(Level.COACH)

    talk.sends(body, after=40)

    assert talk.happened(Immersed) == []
    assert step_of(talk) == "wipe_detergent"


def test_S3_its_own_tag_before_the_word_is_its_own_bath() -> None:
    talk = with_an_untested_tub(Level.COACH)

    talk.sends("T2 in 23", after=40)

    assert [each.bath for each in talk.happened(Immersed)] == ["T2"]


@pytest.mark.parametrize("body", ["in T1 23", "V1 in T1 23", "T1 in {n} 23", "T1 in 23", "in T9"])
def test_S3_after_a_cold_bath_another_one_is_heard_before_the_number_is_asked_for(
    body: str,
) -> None:
    """The number alone put the soak down in the cold bath, where the probe was not."""
    talk = with_an_untested_tub(Level.BRIEF)
    talk.sends(f"IN {number_for(talk, 'V1')} 18", after=60)
    assert step_of(talk) == "warm"

    talk.sends(body.format(n=number_for(talk, "V1")), after=60)

    assert talk.happened(Immersed) == []
    assert [each.bath for each in talk.happened(PutInBath)] != ["T2"]
    assert step_of(talk) == "under"

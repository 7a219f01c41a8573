"""S7, S16: a use that is told in two texts, or with what is seen on the probe, is one use."""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    DeviceUsed,
    FaultReported,
    UseWithoutCode,
)
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def ready() -> Talk:
    talk = clinic(level=Level.COACH)
    play_cycle(talk)
    return talk


def used(talk: Talk) -> tuple[list[str], int]:
    patients = [each.patient for each in talk.happened(DeviceUsed)]
    return patients, len(talk.happened(UseWithoutCode))


@pytest.mark.parametrize(
    "beside",
    ["soiled", "dirty", "dirty, cleaning now", "some blood", "blood on the cable", "stained"],
)
def test_S16_what_is_seen_after_a_patient_is_no_damage_and_nothing_is_asked(beside: str) -> None:
    talk = ready()

    (noted,) = talk.sends(f"USED V1 0412 {beside}", after=300)

    assert noted.startswith("Noted: V1 on patient 0412.")
    assert used(talk) == (["0412"], 0)
    assert (talk.happened(CaseOpened), talk.happened(FaultReported)) == ([], [])


@pytest.mark.parametrize("beside", ["dropped", "cracked", "blood on it, sheath torn", "fell"])
def test_S13_what_may_be_damage_is_asked_about_and_the_use_is_not_told_anew(beside: str) -> None:
    talk = ready()

    heard = talk.sends(f"USED V1 0412 {beside}", after=300)

    assert heard[-1] == "V1: the use is noted. Damaged too? FAULT V1."
    assert used(talk) == (["0412"], 0)


def test_S16_told_again_without_its_code_within_minutes_it_opens_no_false_case() -> None:
    talk = ready()
    talk.sends("USED V1 0412", after=300)

    (text,) = talk.sends("USED V1", after=60)

    assert text.startswith("The use of V1 on 0412 is noted. Another patient since?")
    assert used(talk) == (["0412"], 0)
    assert (talk.happened(CaseOpened), talk.happened(AlertRaised)) == ([], [])


@pytest.mark.parametrize("body", ["USED V1 0413", "USED V1 0412 0413"])
def test_S9_another_patient_since_is_noted_as_it_is_said(body: str) -> None:
    talk = ready()
    talk.sends("USED V1 0412", after=300)

    talk.sends(body, after=60)

    assert "0413" in used(talk)[0]
    assert talk.happened(CaseOpened)


@pytest.mark.parametrize(("body", "after"), [("USED V1", 901), ("USED V1 on Mrs K", 60)])
def test_S7_later_or_in_other_words_it_is_a_use_of_its_own(body: str, after: int) -> None:
    talk = ready()
    talk.sends("USED V1 0412", after=300)

    talk.sends(body, after=after)

    assert used(talk) == (["0412"], 1)

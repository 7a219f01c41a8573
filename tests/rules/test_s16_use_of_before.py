"""S16, S18: a use that is told a day late is one of its own day, and of that day's cleaning."""

from datetime import date

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    DeviceUsed,
    Released,
    UseCodeGiven,
    UseWithoutCode,
)
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)
A_DAY = 24 * 60


def the_day_after() -> Talk:
    """V1 was cleaned on Monday and not since."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)
    talk.wait(minutes=A_DAY)
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("USED V1 0412 yesterday", "USED V1 0412 on Monday", "USED V1 0412 1 day ago"),
        *("USED V1 yesterday on 0412", "V1 was used on 0412 yesterday evening"),
    ],
)
def test_S16_its_day_is_the_one_that_is_said(body: str) -> None:
    talk = the_day_after()
    (release,) = talk.happened(Released)

    (text,) = talk.sends(body, after=60)

    (use,) = talk.happened(DeviceUsed)
    assert (use.patient, use.day, use.ready, use.cycle) == ("0412", MONDAY, True, release.cycle)
    assert use.late
    assert talk.happened(CaseOpened) == []
    assert text == (
        "Noted: V1 on patient 0412 on 2 Mar 2026. Your contact is told, to look at that day. It "
        "is not ready now: CLEAN V1."
    )
    assert talk.heard["ph9"][-1].startswith("A use of V1 is told otherwise than noted:")


def test_S18_what_is_ready_today_says_nothing_of_yesterday() -> None:
    """V2 was cleaned today; of yesterday no release of it is on record."""
    talk = clinic(devices=("V1", "V2"))
    talk.wait(minutes=A_DAY)
    play_cycle(talk, "V2")

    (text,) = talk.sends("USED V2 0412 yesterday", after=60)

    (use,) = talk.happened(DeviceUsed)
    assert (use.ready, use.cycle) == (False, None)
    assert "It was NOT READY then." in text
    assert talk.clinic.devices["V2"].standing is Standing.NOT_READY
    assert len(talk.happened(CaseOpened)) == 1
    assert [each.cause for each in talk.happened(AlertRaised)] == ["used_not_ready"]


def test_S16_its_code_is_asked_for_and_is_of_that_day_too() -> None:
    talk = the_day_after()

    talk.sends("USED V1 yesterday", after=60)
    talk.sends("0412", after=60)

    (use,) = talk.happened(UseWithoutCode)
    (given,) = talk.happened(UseCodeGiven)
    assert (use.day, use.ready) == (MONDAY, True)
    assert (given.patient, given.day) == ("0412", MONDAY)


def test_S16_a_day_that_is_not_clear_is_for_the_contact() -> None:
    talk = the_day_after()
    play_cycle(talk)

    (text,) = talk.sends("USED V1 0412 last week", after=60)

    (use,) = talk.happened(DeviceUsed)
    assert use.day == TUESDAY
    assert text.startswith("Noted: V1 on patient 0412, on which day I cannot tell.")
    assert talk.heard["ph9"][-1].startswith("A use of V1 is told otherwise than noted:")


def test_S10_a_double_is_one_use_and_the_same_patient_of_yesterday_another() -> None:
    talk = the_day_after()
    talk.sends("USED V1 0412 yesterday", after=60)

    (text,) = talk.sends("USED V1 0412 yesterday", after=60)

    assert text == "Noted: V1 on patient 0412."
    assert [each.day for each in talk.happened(DeviceUsed)] == [MONDAY]
    talk.sends("USED V1 0412 2 days ago", after=60)
    assert len(talk.happened(DeviceUsed)) == 2


def test_S9_asked_for_at_its_cleaning_it_is_of_the_day_that_is_said() -> None:
    talk = the_day_after()
    talk.sends("CLEAN V1", after=60)

    talk.sends("USED V1 0412 yesterday", after=60)

    (use,) = talk.happened(DeviceUsed)
    assert (use.day, use.ready) == (MONDAY, True)
    assert talk.happened(CaseOpened) == []

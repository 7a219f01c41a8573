"""S9, S13: whatever comes back is not ready, and out of quarantine only with somebody."""

from dataclasses import replace

import pytest

from bot.registers.add import NotSetUp, Standing
from bot.registers.change import return_device
from flows.parts.clinic import Clinic
from flows.parts.clinic import Standing as Stands
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    Quarantined,
    QuarantineLifted,
    ReleaseWithdrawn,
    Stamped,
)
from flows.parts.state import fold, fold_all
from tests.kit.cycles import play_cycle
from tests.kit.sheets import MOMENT, SITE, added, row
from tests.kit.talk import Talk, clinic


def stands(talk: Talk) -> Standing:
    return Standing(talk.clinic, frozenset(talk.clinic.people))


def returned(talk: Talk, checked_with: int | None = None) -> tuple[Event, Stands]:
    made = return_device("s1", "v1", replace(MOMENT, now=talk.now), stands(talk), checked_with)
    (event,) = made.events
    after = fold(talk.clinic, Stamped(event, talk.now))
    return event, after.devices["V1"].standing


def test_S9_a_released_device_that_comes_back_has_lost_its_release() -> None:
    talk = clinic()
    play_cycle(talk)
    release = talk.clinic.devices["V1"].release
    assert release is not None

    event, standing = returned(talk)

    assert event == ReleaseWithdrawn("V1", release.cycle, "returned")
    assert standing is Stands.NOT_READY


def test_S9_it_still_owes_the_patient_codes_since_that_release() -> None:
    talk = clinic()
    play_cycle(talk)

    event, _ = returned(talk)
    after = fold(talk.clinic, Stamped(event, talk.now))

    assert after.devices["V1"].use_owed


def test_S13_out_of_quarantine_takes_a_supervisor_by_number() -> None:
    talk = clinic()
    talk.let(Quarantined("V1", "damaged"))

    with pytest.raises(NotSetUp, match="V1 is in quarantine; name the supervisor"):
        returned(talk)
    with pytest.raises(NotSetUp, match="is 1, who is no supervisor"):
        returned(talk, checked_with=1)
    assert returned(talk, checked_with=9) == (QuarantineLifted("V1", "p9"), Stands.NOT_READY)


def test_a_device_in_a_cycle_is_not_taken_back() -> None:
    talk = clinic()
    talk.sends("CLEAN V1")

    with pytest.raises(NotSetUp, match="is v1, which is being cleaned"):
        returned(talk)


def test_a_device_that_is_not_there_is_named_with_those_that_are() -> None:
    with pytest.raises(NotSetUp, match="device is V7; here there are V1"):
        return_device("s1", "V7", MOMENT, stands(clinic()))


def test_a_label_is_given_once() -> None:
    made = added(devices=(row(label="V1", model="handheld_probe"),))
    there = fold_all(Clinic(), (Stamped(event, MOMENT.now) for event in made.events))

    assert made.events[-1] == DeviceEnrolled("V1", "handheld_probe")
    with pytest.raises(NotSetUp, match="label is V1, which a device here bears already"):
        added(Standing(there), devices=(row(label="v1", model="handheld_probe"),))
    assert made.site == SITE

"""What uses, faults and quarantine make of a device."""

from typing import Any

from flows.parts.clinic import Clinic, Standing
from flows.parts.events import (
    DeviceUsed,
    NoUseSaid,
    Quarantined,
    QuarantineLifted,
    ReleaseWithdrawn,
    Stamped,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.parts.state.change import apply, change


@apply.register
def used(event: DeviceUsed, clinic: Clinic, stamped: Stamped) -> Clinic:
    clinic = change(clinic, "devices", event.device, used_at=stamped.at)
    return _note_use(clinic, event.device, (event.patient,))


@apply.register
def used_without_code(event: UseWithoutCode, clinic: Clinic, _: Stamped) -> Clinic:
    return _note_use(clinic, event.device, ())


def _note_use(clinic: Clinic, label: str, patients: tuple[str, ...]) -> Clinic:
    device = clinic.devices[label]
    changes: dict[str, Any] = {
        "release": None,
        "use_owed": False,
        "uses": (*device.uses, *patients),
    }
    if device.standing is Standing.RELEASED:
        changes |= {"standing": Standing.NOT_READY, "why": "used"}
    return change(clinic, "devices", label, **changes)


@apply.register
def use_code(event: UseCodeGiven, clinic: Clinic, _: Stamped) -> Clinic:
    device = clinic.devices[event.device]
    return change(clinic, "devices", event.device, uses=(*device.uses, event.patient))


@apply.register
def no_use(event: NoUseSaid, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "devices", event.device, use_owed=False)


@apply.register
def quarantined(event: Quarantined, clinic: Clinic, _: Stamped) -> Clinic:
    """S13: a cleaning that is going on can only be for the repairer from now on."""
    clinic = change(clinic, "cycles", clinic.devices[event.device].cycle or "", for_repair=True)
    return change(
        clinic,
        "devices",
        event.device,
        standing=Standing.QUARANTINED,
        why=event.because,
        release=None,
    )


@apply.register
def quarantine_lifted(event: QuarantineLifted, clinic: Clinic, _: Stamped) -> Clinic:
    device = clinic.devices[event.device]
    standing = Standing.IN_CYCLE if device.cycle else Standing.NOT_READY
    return change(clinic, "devices", event.device, standing=standing, why="quarantine_lifted")


@apply.register
def withdrawn(event: ReleaseWithdrawn, clinic: Clinic, _: Stamped) -> Clinic:
    device = clinic.devices[event.device]
    standing = Standing.NOT_READY if device.standing is Standing.RELEASED else device.standing
    return change(
        clinic, "devices", event.device, release=None, standing=standing, why=event.because
    )

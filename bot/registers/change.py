"""What changes about people and devices that are there already: level, erasure, a return."""

from bot.registers.draft import NotSetUp, Standing
from bot.registers.people import own_phones
from bot.registers.set_up import Forgotten, SetUp
from flows.parts.clinic import Device, Level, Person, Role
from flows.parts.clinic import Standing as DeviceStanding
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    PersonEnrolled,
    PhoneEnrolled,
    QuarantineLifted,
    ReleaseWithdrawn,
)
from flows.parts.moment import Moment
from flows.protocols.model import Problem

RETURNED = "returned"


def set_level(site: str, number: int, level: Level, moment: Moment, stands: Standing) -> SetUp:
    """A step a text, or the evidence texts only, from now on. Raises NotSetUp."""
    person = _person(site, number, stands)
    return SetUp(site, moment.now, (_enrolled(person, level=level),))


def erase_person(site: str, number: int, moment: Moment, stands: Standing) -> SetUp:
    """S15: name, PIN, words and own phones are forgotten; entries go on naming the opaque id.

    Raises NotSetUp for somebody who is cleaning at this moment: the device must not be left.
    """
    person = _person(site, number, stands)
    clinic = stands.clinic
    at_work = [each.device for each in clinic.cycles.values() if each.person == person.id]
    if at_work:
        raise _not(
            site, "number", f"is {number}, who has {at_work[0]} in hand; let that end first"
        )
    phones = [phone for phone in clinic.phones.values() if person.id in phone.people]
    left: list[Event] = [
        PhoneEnrolled(
            phone.id, tuple(each for each in phone.people if each != person.id), phone.shared
        )
        for phone in phones
    ]
    gone = _enrolled(person, may_release=False)
    forgotten = Forgotten(person.id, own_phones(phones, person.id))
    return SetUp(site, moment.now, (*left, gone), forgotten=(forgotten,))


def return_device(
    site: str, label: str, moment: Moment, stands: Standing, checked_with: int | None = None
) -> SetUp:
    """S9: back from a loan, a move or a repair it is not ready, whatever it was before.

    S13: out of quarantine only with a supervisor, *checked_with*, who has looked at it. Raises
    NotSetUp for that, for a device that is being cleaned, and for one that is not here.
    """
    device = stands.clinic.devices.get(label.upper())
    if device is None:
        here = ", ".join(stands.clinic.devices) or "none"
        raise _not(site, "device", f"is {label}; here there are {here}")
    if device.cycle:
        raise _not(site, "device", f"is {label}, which is being cleaned; let that end first")
    return SetUp(site, moment.now, (_returned(site, device, stands, checked_with),))


def _returned(site: str, device: Device, stands: Standing, checked_with: int | None) -> Event:
    if device.standing is DeviceStanding.QUARANTINED:
        return QuarantineLifted(device.label, _supervisor(site, device, stands, checked_with))
    if device.release:
        return ReleaseWithdrawn(device.label, device.release.cycle, RETURNED)
    if device.use_owed:
        # Enrolled anew it would forget that uses since its last release are still to be told.
        raise _not(site, "device", f"is {device.label}, which is not ready as it stands; clean it")
    return DeviceEnrolled(device.label, device.model)


def _supervisor(site: str, device: Device, stands: Standing, number: int | None) -> str:
    if number is None:
        reason = f"is missing: {device.label} is in quarantine; name the supervisor who checked it"
        raise _not(site, "checked-with", reason)
    person = _person(site, number, stands)
    if person.role is not Role.SUPERVISOR:
        raise _not(site, "checked-with", f"is {number}, who is no supervisor; it takes one")
    return person.id


def _person(site: str, number: int, stands: Standing) -> Person:
    people = stands.clinic.people.values()
    found = next((each for each in people if each.number == number), None)
    if found is None or found.id not in stands.named:
        raise _not(site, "number", f"is {number}, and nobody here has that number")
    return found


def _enrolled(
    person: Person, *, level: Level | None = None, may_release: bool | None = None
) -> PersonEnrolled:
    return PersonEnrolled(
        person=person.id,
        number=person.number,
        role=person.role,
        level=level or person.level,
        may_release=person.may_release if may_release is None else may_release,
        language=person.language,
    )


def _not(site: str, key: str, reason: str) -> NotSetUp:
    return NotSetUp((Problem(site, key, reason),))

"""What setting up makes of a clinic."""

from dataclasses import replace

from flows.parts.clinic import Choice, Clinic, Device, Person, Phone, Site, Standing
from flows.parts.events import (
    DeviceEnrolled,
    PersonEnrolled,
    PhoneEnrolled,
    SiteChoiceMade,
    SiteOpened,
    Stamped,
)
from flows.parts.state.change import apply, change, put

READ_BY = frozenset(
    {"dip_for", "read_after", "read_within", "strips_per_test", "qc_positive", "qc_negative"}
)
"""S4: the figures that a strip is read by: chosen anew, a pass by the old ones counts no more."""


@apply.register
def site_opened(event: SiteOpened, clinic: Clinic, _: Stamped) -> Clinic:
    choices = clinic.site.choices if clinic.site else ()
    given = clinic.site.given if clinic.site else ()
    site = Site(
        event.site,
        event.zone,
        event.closes_at,
        event.language,
        event.day_order,
        choices,
        event.title,
        given,
    )
    return replace(clinic, site=site)


@apply.register
def site_choice_made(event: SiteChoiceMade, clinic: Clinic, _: Stamped) -> Clinic:
    """S4: of what was passed by another figure the next soak asks for a strip by this one."""
    site = clinic.site
    if site is None:
        return clinic
    made = Choice(event.product, event.key, event.value, event.reason)
    if event.key in READ_BY and made.value not in _chosen_before(site, made):
        clinic = _to_be_tested(clinic, event.product)
    kept = tuple(
        choice
        for choice in site.choices
        if (choice.product, choice.key) != (event.product, event.key)
    )
    return replace(clinic, site=replace(site, choices=(*kept, made)))


def _chosen_before(site: Site, made: Choice) -> list[str]:
    return [each.value for each in site.choices if each.of == made.of]


def _to_be_tested(clinic: Clinic, strips: str) -> Clinic:
    """Its pass stays, for whoever looks for what it was passed by; it is good for no soak."""
    for each in clinic.containers.values():
        passed = each.passed
        if passed and passed.strips and passed.strips.product == strips:
            ended = replace(passed, good_until=passed.at)
            clinic = change(clinic, "containers", each.tag, passed=ended)
    return clinic


@apply.register
def person_enrolled(event: PersonEnrolled, clinic: Clinic, _: Stamped) -> Clinic:
    person = Person(
        event.person, event.number, event.role, event.level, event.may_release, event.language
    )
    return replace(clinic, people=put(clinic.people, event.person, person))


@apply.register
def phone_enrolled(event: PhoneEnrolled, clinic: Clinic, _: Stamped) -> Clinic:
    phone = Phone(event.phone, event.people, event.shared)
    return replace(clinic, phones=put(clinic.phones, event.phone, phone))


@apply.register
def device_enrolled(event: DeviceEnrolled, clinic: Clinic, _: Stamped) -> Clinic:
    """S9, S13: enrolled again it is not ready; quarantine, cycle and uses owed stay with it."""
    new = Device(event.device, event.model)
    known = clinic.devices.get(event.device, new)
    device = replace(known, model=event.model, release=None)
    if known.standing is Standing.RELEASED:
        device = replace(device, standing=Standing.NOT_READY, why=new.why)
    return replace(clinic, devices=put(clinic.devices, event.device, device))

"""Setting up a site: people, phones, devices, choices."""

from flows.parts.clinic import Level, Role
from flows.parts.events.event import Event, happened


@happened
class SiteOpened(Event):
    site: str
    zone: str
    closes_at: str
    language: str
    day_order: str | None = None
    title: str = ""
    """What people call it; empty where nobody has said."""


@happened
class SiteChoiceMade(Event):
    """A figure that the site sets otherwise than published; its written reason by its digest."""

    product: str
    key: str
    value: str
    reason: str


@happened
class PersonEnrolled(Event):
    person: str
    number: int
    role: Role
    level: Level
    may_release: bool
    language: str


@happened
class PhoneEnrolled(Event):
    phone: str
    people: tuple[str, ...]
    shared: bool


@happened
class DeviceEnrolled(Event):
    device: str
    model: str

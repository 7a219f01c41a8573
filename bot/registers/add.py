"""One thing or a whole district: rows as typed -> what the exchange writes, or every problem."""

from collections.abc import Callable

from bot.identity import hash_pin
from bot.registers.choices import choose
from bot.registers.draft import Draft, NotSetUp, Standing, standing
from bot.registers.people import add_people, add_phone, spoken
from bot.registers.rows import (
    CLOSING_WANTED,
    LABEL_WANTED,
    SITE_WANTED,
    TITLE_WANTED,
    ZONE_WANTED,
    Reading,
    Row,
    Wanted,
    closing,
    label,
    listed,
    one_of,
    site_id,
    site_title,
    zone,
)
from bot.registers.set_up import SetUp
from bot.registers.stock import add_container
from flows.parts.events import DeviceEnrolled, SiteOpened
from flows.parts.moment import Moment

__all__ = ["NotSetUp", "Row", "Standing", "Wanted", "add", "standing"]

SITE = ("site", "title", "zone", "closes_at", "language", "day_order")
DEVICE = ("label", "model")


def add(
    site: str,
    wanted: Wanted,
    moment: Moment,
    stands: Standing | None = None,
    hashed: Callable[[str], str] = hash_pin,
) -> SetUp:
    """What is to be written so that all of *wanted* stands at *site*. Nothing is written here.

    Slow where there are PINs, so it comes before the transaction. Raises NotSetUp with every
    problem of every row; rows after a bad one are judged as if it were not there.
    """
    stands = stands or Standing()
    draft = Draft(site, moment, stands.clinic, stands.whose, set(stands.with_pin), hashed)
    if wanted.site:
        open_site(draft, wanted.site)
    if draft.clinic.site is None and not wanted.site:
        draft.refuse(site, "site", "is not open here; open it first")
    for choice in wanted.choices:
        choose(draft, choice)
    for device in wanted.devices:
        add_device(draft, device)
    for container in wanted.containers:
        add_container(draft, container)
    add_people(draft, wanted.people)
    for phone in wanted.phones:
        add_phone(draft, phone)
    return draft.done()


def open_site(draft: Draft, row: Row) -> None:
    """A site, or what has changed about it; a title that is not said again stays."""
    reading = Reading(row, SITE)
    name = reading.read("site", site_id, SITE_WANTED)
    if name and name != draft.site:
        reading.refuse("site", f"is {name}, but this is about {draft.site}")
    where = reading.read("zone", zone, ZONE_WANTED)
    closes_at = reading.read("closes_at", closing, CLOSING_WANTED)
    title = reading.read_if_there("title", site_title, TITLE_WANTED)
    language = reading.read("language", one_of(spoken()), listed(spoken()))
    orders = ("dmy", "mdy")
    day_order = reading.read_if_there("day_order", one_of(orders), listed(orders))
    draft.problems += reading.problems
    if not reading.problems:
        before = draft.clinic.site.title if draft.clinic.site else ""
        called = title or before
        draft.happen(SiteOpened(name, where.key, closes_at, language, day_order, called))


def add_device(draft: Draft, row: Row) -> None:
    reading = Reading(row, DEVICE)
    name = reading.read("label", label, LABEL_WANTED)
    models = draft.shelf.devices
    model = reading.read("model", one_of(models), listed(models))
    if name in draft.clinic.devices:
        reading.refuse("label", f"is {name}, which a device here bears already; take another")
    draft.problems += reading.problems
    if not reading.problems:
        draft.happen(DeviceEnrolled(name, model))

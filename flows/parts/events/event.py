"""What an event is, and the one closed list of them."""

from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar, dataclass_transform

E = TypeVar("E", bound="Event")

EVENTS: dict[str, type["Event"]] = {}
"""Every event by its name in the record."""


class Event:
    """Something that happened. Subclasses are frozen dataclasses made by `happened`."""

    __slots__ = ()


@dataclass_transform(frozen_default=True)
def happened(kind: type[E]) -> type[E]:
    """Make *kind* a frozen dataclass and list it."""
    made = dataclass(frozen=True, slots=True)(kind)
    EVENTS[kind.__name__] = made
    return made


@dataclass(frozen=True, slots=True)
class Stamped:
    """An event with when it happened, who said so, on which phone, in which incoming text."""

    event: Event
    at: datetime
    person: str | None = None
    phone: str | None = None
    cause: str | None = None

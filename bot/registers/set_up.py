"""What a register hands to the exchange: events, and the rows that can be erased with them."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from bot.store.people import erase, keep_number, keep_person, keep_text
from flows.parts.decision import KeptText
from flows.parts.events import Event


@dataclass(frozen=True, slots=True)
class Named:
    person: str
    name: str = field(repr=False)
    pin_hash: str | None = field(repr=False)


@dataclass(frozen=True, slots=True)
class Numbered:
    phone: str
    number: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class Forgotten:
    """A person to be erased, and the phones that were theirs alone."""

    person: str
    phones: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SetUp:
    """Pass *events*, and *keep* for the same transaction, to the exchange's `set_up`."""

    site: str
    at: datetime
    events: tuple[Event, ...] = ()
    names: tuple[Named, ...] = ()
    numbers: tuple[Numbered, ...] = ()
    texts: tuple[KeptText, ...] = ()
    forgotten: tuple[Forgotten, ...] = ()
    zone: ZoneInfo | None = None
    """The site's own, to tell people of times; None where nothing has one."""
    remarks: tuple[str, ...] = ()
    """What whoever enters it should know, though it stands."""

    def keep(self, connection: Any) -> None:
        """Write, and erase, what the record itself never holds (S15)."""
        for named in self.names:
            keep_person(connection, self.site, named.person, named.name, named.pin_hash)
        for numbered in self.numbers:
            keep_number(connection, self.site, numbered.phone, numbered.number)
        for text in self.texts:
            keep_text(connection, self.site, None, self.at, text.salt, text.words)
        for gone in self.forgotten:
            erase(connection, self.site, gone.person, gone.phones)

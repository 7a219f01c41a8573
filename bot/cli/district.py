"""The invented district: who lives there, and how a bot comes to know it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, time
from importlib.resources import files
from zoneinfo import ZoneInfo

import demo_data
from bot.exchange import Exchange
from bot.registers.add import Wanted, add
from bot.registers.spreadsheet import read_sheets
from flows.parts.clinic import Level, Role
from flows.parts.moment import Moment

OPENS_AT = time(9, 0)
"""A working day is long enough for a cycle whatever the hour it is tried at."""


@dataclass(frozen=True, slots=True)
class Character:
    """An invented person, and the phone they text from: their own, or one they share."""

    site: str
    number: int
    name: str
    role: Role
    level: Level
    phone: str
    pin: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class District:
    wanted: tuple[tuple[str, Wanted], ...]
    people: tuple[Character, ...]
    zone: ZoneInfo

    @property
    def site(self) -> str:
        """The clinic that is shown; it is the first."""
        return self.wanted[0][0]

    def morning(self, now: datetime) -> datetime:
        """When the clinic opens on the day that *now* is in its own zone."""
        return datetime.combine(now.astimezone(self.zone), OPENS_AT, self.zone)

    def on(self, phone: str) -> tuple[Character, ...]:
        return tuple(each for each in self.people if each.phone == phone)

    def settle(self, exchange: Exchange, moment: Moment) -> None:
        """Everybody and everything, through the same door as anybody's."""
        for site, wanted in self.wanted:
            made = add(site, wanted, moment)
            exchange.set_up(site, made.events, made.keep)


def read_district() -> District:
    sheets = files(demo_data)
    texts = {
        sheet.name: sheet.read_text(encoding="utf-8")
        for sheet in sheets.iterdir()
        if sheet.name.endswith(".csv")
    }
    wanted = tuple(read_sheets(texts).items())
    people = tuple(
        _character(site, row.cells) for site, of_site in wanted for row in of_site.people
    )
    zones = [of_site.site.cells["zone"] for _, of_site in wanted if of_site.site]
    return District(wanted, people, ZoneInfo(zones[0]))


def _character(site: str, cells: Mapping[str, str]) -> Character:
    return Character(
        site,
        int(cells["number"]),
        cells["name"],
        Role(cells["role"]),
        Level(cells["level"]),
        cells["phone"],
        cells["pin"],
    )

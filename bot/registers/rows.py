"""What somebody wants to set up, a row a thing; each cell read, every problem named."""

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.store.people import NotANumber, e164
from bot.texts.segments import segments, to_gsm7
from flows.parts.text import LONGEST
from flows.protocols.model import Problem
from flows.replies.lots import LONGEST as LONGEST_LOT
from flows.replies.lots import is_lot

T = TypeVar("T")

LABEL = re.compile(r"[A-Z]{1,2}[0-9]{1,2}")
TAG = re.compile(r"[JBTSM][1-9][0-9]?")
_PIN = re.compile(r"[0-9]{4,6}")
_SITE = re.compile(r"[a-z][a-z0-9-]{0,15}")
NO_LOT = "NONE"
"""As by text, where a label has no lot, or none that can be read."""
LONGEST_TITLE = 40
"""Characters: a heading on a page. Source: own rule, none published."""

_CLOSING = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")
_YEARS = range(1900, 2100)
_COUNT = re.compile(r"[0-9]{1,4}")

_TAKEN_LETTERS = frozenset({"J", "B", "T", "S", "IN"})
"""Of jugs, bottles, tubs and strips; and IN20 would be read as a bath at 20 C."""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing as typed; *where* says which, for the person who has to mend it."""

    where: str
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Wanted:
    """All that is to be set up at one site."""

    site: Row | None = None
    people: tuple[Row, ...] = ()
    phones: tuple[Row, ...] = ()
    devices: tuple[Row, ...] = ()
    containers: tuple[Row, ...] = ()
    choices: tuple[Row, ...] = ()


class Reading:
    """One row being read, and what was wrong with it."""

    def __init__(self, row: Row, columns: Collection[str]) -> None:
        self.row = row
        self.problems: list[Problem] = [
            Problem(row.where, key, f"is no column here; there are {', '.join(columns)}")
            for key in row.cells
            if key not in columns
        ]

    def has(self, key: str) -> bool:
        return bool(self.row.cells.get(key, "").strip())

    def read(self, key: str, reads: Callable[[str], T | None], wanted: str) -> T:
        """The cell under *key*. Where it cannot be read the row has a problem, and is not used."""
        typed = self.row.cells.get(key, "").strip()
        value = reads(typed) if typed else None
        if value is None:
            shown = f"is {typed}" if key != "pin" else "is not one"
            self.refuse(key, f"{shown if typed else 'is missing'}; {wanted}")
        # None gets no further than the report of problems.
        return value  # type: ignore[return-value]

    def read_if_there(self, key: str, reads: Callable[[str], T | None], wanted: str) -> T | None:
        return self.read(key, reads, wanted) if self.has(key) else None

    def refuse(self, key: str, reason: str) -> None:
        self.problems.append(Problem(self.row.where, key, reason))


# -- cells --------------------------------------------------------------------------------------


def one_of(allowed: Collection[str]) -> Callable[[str], str | None]:
    return lambda typed: typed if typed in allowed else None


def listed(allowed: Collection[str]) -> str:
    return f"one of {', '.join(allowed)}"


def yes_no(typed: str) -> bool | None:
    return {"yes": True, "no": False}.get(typed.lower())


def count(typed: str) -> int | None:
    return int(typed) if _COUNT.fullmatch(typed) else None


def short_number(typed: str) -> int | None:
    """From 1 to 99: what a person types, with the PIN, on a shared phone."""
    number = count(typed)
    return number if number and number in range(1, 100) else None


def site_id(typed: str) -> str | None:
    return typed if _SITE.fullmatch(typed) else None


def site_title(typed: str) -> str | None:
    """What people call a site, in one line."""
    spaced = " ".join(typed.split())
    return spaced if len(spaced) <= LONGEST_TITLE and spaced.isprintable() else None


def label(typed: str) -> str | None:
    """A device's label; the letters of containers are theirs alone."""
    written = typed.upper()
    letters = written.rstrip("0123456789")
    return written if LABEL.fullmatch(written) and letters not in _TAKEN_LETTERS else None


def tag(typed: str) -> str | None:
    return typed.upper() if TAG.fullmatch(typed.upper()) else None


def lot(typed: str) -> str | None:
    """A lot as printed; empty for NONE, which says that none can be read."""
    if typed.upper() == NO_LOT:
        return ""
    return typed if is_lot(typed) else None


def name(typed: str) -> str | None:
    """A name that an SMS can carry, and that leaves the longest text one segment."""
    spaced = " ".join(typed.split())
    sent = to_gsm7(spaced)
    lost = sent.count("?") > spaced.count("?")
    fits = sent and segments(sent).septets <= len(LONGEST["person"])
    return spaced if fits and not lost else None


def number(typed: str) -> str | None:
    """A phone number in the one form in which it is kept (E.164)."""
    try:
        return e164(typed)
    except NotANumber:
        return None


def pin(typed: str) -> str | None:
    return typed if _PIN.fullmatch(typed) else None


def zone(typed: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(typed)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None


def closing(typed: str) -> str | None:
    return typed if _CLOSING.fullmatch(typed) else None


def day(typed: str) -> date | None:
    """A day of these two centuries: a label has no other, and a calendar ends somewhere."""
    try:
        read = date.fromisoformat(typed)
    except ValueError:
        return None
    return read if read.year in _YEARS else None


def moment(typed: str, zone: ZoneInfo) -> date | datetime | None:
    """A day, or a day and a time of the site's own clock: 2026-03-01 08:30.

    A time that the clock leaves out as it is put forward is none.
    """
    said, _, clock = typed.partition(" ")
    whole = day(said)
    if whole is None or not clock:
        return whole
    try:
        read = datetime.combine(whole, time.fromisoformat(clock), tzinfo=zone)
    except ValueError:
        return None
    shown = read.astimezone(UTC).astimezone(zone)
    return read if shown.time() == read.time() else None


SITE_WANTED = "a short name in small letters and figures, at most 16, like hill or hill-2"
TITLE_WANTED = f"what people call it, in a line of at most {LONGEST_TITLE} characters"
LABEL_WANTED = "one or two letters and one or two figures, like V1; J, B, T, S and IN are taken"
TAG_WANTED = "J for a jug, B bottle, T tub, S strips, and a number from 1 to 99, like J1"
NAME_WANTED = "1 to 12 characters that an SMS can carry"
NUMBER_WANTED = "a number from 1 to 99"
PHONE_WANTED = "a phone number in international form, like +15005550006"
PIN_WANTED = "4 to 6 figures"
ZONE_WANTED = "a time zone of the IANA database, like Etc/GMT-3"
CLOSING_WANTED = "the time the site closes, like 17:00"
YES_NO_WANTED = "yes or no"
DAY_WANTED = "a day as year, month, day, like 2027-03-31"
MOMENT_WANTED = (
    "a day and, if known, a time of the site's own clock, like 2026-03-01 or 2026-03-01 08:30"
)
DAYS_WANTED = "a whole number of days"
LOT_WANTED = (
    f"letters and figures as on the label, a figure at least; of more than {LONGEST_LOT} the last "
    f"{LONGEST_LOT}"
)
LOT_OR_NONE_WANTED = f"{LOT_WANTED}; {NO_LOT} if it has none to be read"

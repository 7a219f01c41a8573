"""What the web phone shows: its texts, the other phones, the clock, the next bell."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from bot.clock import RATES
from bot.texts.segments import ONE_SEPTET, TWO_SEPTETS, segments
from bot.web.phones import Handset, Line, Phones
from flows.parts.clinic import Bell, Clinic, Role
from flows.words import ENGLISH

BELLS = {
    "detergent": "{device}: detergent soak over",
    "contact": "{device}: disinfectant soak over",
    "strip": "strip to be read",
    "overdue": "{device}: left in too long",
    "nudge": "a reminder",
}

BEGIN = f"{ENGLISH.word('clean')} V1"


@dataclass(frozen=True, slots=True)
class Shown:
    """A text as a line of the page."""

    place: int
    typed: bool
    at: str
    body: str
    septets: int
    room: int
    segments: int


def _line(phones: Phones, line: Line) -> Shown:
    counted = segments(line.body)
    return Shown(
        line.place,
        line.typed,
        f"{line.at.astimezone(phones.zone):%H:%M:%S}",
        line.body,
        counted.septets,
        160 if counted.gsm else 70,
        counted.count,
    )


def lines_of(phones: Phones, handset: Handset, after: int = 0) -> list[Shown]:
    """The texts of one phone behind place *after*, which now count as read."""
    return [_line(phones, line) for line in phones.lines(handset, after)]


def whole(phones: Phones, handset: Handset) -> Mapping[str, Any]:
    """A page's first look."""
    last = phones.last_cycle()
    return {
        "title": phones.title,
        "handset": handset,
        "place": _place(phones, handset),
        "phones": _phones(phones, handset),
        "clock": _clock(phones),
        "due": _due(phones),
        "rates": [f"{rate}x" for rate in RATES],
        "words": _words(handset),
        "begin": BEGIN,
        "first": _first(handset),
        "cycle": last.device if last else None,
        "lines": lines_of(phones, handset),
        "one_septet": "".join(sorted(ONE_SEPTET)),
        "two_septets": "".join(sorted(TWO_SEPTETS)),
    }


def parts(phones: Phones, handset: Handset) -> Mapping[str, Any]:
    """The parts of the page that change without a text on this phone."""
    last = phones.last_cycle()
    return {
        "unread": [phone["unread"] for phone in _phones(phones, handset)],
        "clock": _clock(phones),
        "due": _due(phones),
        "cycle": last.device if last else None,
    }


def _place(phones: Phones, handset: Handset) -> int:
    return phones.handsets.index(handset) + 1


def _phones(phones: Phones, shown: Handset) -> list[Mapping[str, Any]]:
    return [
        {
            "place": place,
            "handset": handset,
            "current": handset is shown,
            "unread": 0 if handset is shown else phones.unread(handset),
        }
        for place, handset in enumerate(phones.handsets, start=1)
    ]


def _clock(phones: Phones) -> Mapping[str, Any]:
    local = phones.clock.now().astimezone(phones.zone)
    return {
        "day": f"{local:%A} {local.day} {local:%B}",
        "time": f"{local:%H:%M:%S}",
        "milliseconds": _milliseconds(local),
        "rate": f"{phones.clock.rate}x",
    }


def _milliseconds(local: datetime) -> int:
    """Since midnight, for a script that lets the hands go on."""
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    return (local - midnight) // timedelta(milliseconds=1)


def _due(phones: Phones) -> Mapping[str, str] | None:
    bell = phones.next_bell()
    if bell is None:
        return None
    return {
        "at": f"{bell.due.astimezone(phones.zone):%H:%M:%S}",
        "what": _what(phones.clinic(), bell),
    }


def _what(clinic: Clinic, bell: Bell) -> str:
    cycle = clinic.cycles.get(bell.cycle or "")
    words = BELLS.get(bell.kind, bell.kind)
    return words.format(device=cycle.device if cycle else "a device")


def _first(handset: Handset) -> str:
    """What to do on a phone that shows nothing yet."""
    if handset.is_shared:
        return "This phone is shared: who holds it texts number and PIN first."
    if handset.holders[0].role is Role.SUPERVISOR:
        return f"Alerts come here. To see how everything stands: {ENGLISH.word('state')}."
    return f"To begin, text {BEGIN}."


def _words(handset: Handset) -> list[tuple[str, str]]:
    """What to try first on this phone: the words as the bot knows them."""
    word = ENGLISH.word
    sign_in = [
        (f"{each.number} {each.pin}", f"sign in as {each.name}")
        for each in handset.holders
        if handset.is_shared
    ]
    return [
        *sign_in,
        (BEGIN, "begin: clean a probe"),
        (word("state"), "how everything stands"),
        (word("left"), "time left of a soak"),
        (f"{word('check')} V1", "is it ready?"),
        (f"{word('used')} V1 0412", "after a patient"),
        (f"{word('fault')} V1", "something is wrong with it"),
        (word("menu"), "all words"),
    ]

"""How a value is written in a text: times, days, spans, numbers, names.

Times are the site's own, on a 24-hour clock; a month is a name, so that no day can be taken for
one. A value comes back in pieces, some of which are texts: days and units have their own words
in every language.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError
from babel.numbers import format_decimal

from bot.texts.segments import to_gsm7
from flows.parts.text import Text, Value, say

Pieces = tuple[str | Text, ...]
"""They stand in a text with a space between."""

WEEKDAYS = (
    say("weekday.monday", "Mon"),
    say("weekday.tuesday", "Tue"),
    say("weekday.wednesday", "Wed"),
    say("weekday.thursday", "Thu"),
    say("weekday.friday", "Fri"),
    say("weekday.saturday", "Sat"),
    say("weekday.sunday", "Sun"),
)
MONTHS = (
    say("month.january", "Jan"),
    say("month.february", "Feb"),
    say("month.march", "Mar"),
    say("month.april", "Apr"),
    say("month.may", "May"),
    say("month.june", "Jun"),
    say("month.july", "Jul"),
    say("month.august", "Aug"),
    say("month.september", "Sep"),
    say("month.october", "Oct"),
    say("month.november", "Nov"),
    say("month.december", "Dec"),
)

NAMED_BY_WEEKDAY = 6
"""Days before and after today in which a weekday means one day only."""
NAMED_WITHOUT_YEAR = 300
"""Days before and after today in which a day and a month mean one day only, with room to spare."""

_SECOND = timedelta(seconds=1)
_TWO_MINUTES = 120
_LONG_IN_MINUTES = 100 * 60
_LONG_IN_HOURS = 100 * 3600

_ONE_SEPTET_EACH = str.maketrans("[]{}\\~^|\n\r", "()()/-'/  ")


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads, where, and when."""

    language: str
    zone: ZoneInfo
    now: datetime


def written(value: Value, reader: Reader, room: int = 0) -> Pieces:
    """Write a value for a reader; `room` is how many septets its placeholder may take.

    Raises TypeError for what is no `Value`, ValueError for a time without a zone.
    """
    for kind, writer in _WRITERS:
        if isinstance(value, kind):
            return writer(value, reader, room)
    raise TypeError(f"{type(value).__name__} cannot stand in a text: {value!r}")


def _name(value: str, _: Reader, room: int) -> Pieces:
    """What people have set up or typed: tamed, so that it cannot make a text any longer."""
    tame = to_gsm7(value).translate(_ONE_SEPTET_EACH)
    return (" ".join(tame.split())[: max(room, len(value))],)


def _time(value: datetime, reader: Reader, _: int) -> Pieces:
    """Within a year to the minute, because what ends at a minute must not seem to last the day."""
    if value.tzinfo is None:
        raise ValueError(f"{value} has no time zone, so the site's own time cannot be told.")
    local, today = value.astimezone(reader.zone), reader.now.astimezone(reader.zone).date()
    away = abs((local.date() - today).days)
    clock = f"{local:%H:%M}"
    if away == 0:
        return (clock,)
    if away <= NAMED_BY_WEEKDAY:
        return WEEKDAYS[local.weekday()], clock
    if away <= NAMED_WITHOUT_YEAR:
        return str(local.day), MONTHS[local.month - 1], clock
    return _day(local.date())


def _day(value: date, *_: object) -> Pieces:
    return str(value.day), MONTHS[value.month - 1], f"{value:%Y}"


def _span(value: timedelta, *_: object) -> Pieces:
    """Two units at most, to the second below 100 minutes; only nothing at all is 0 s."""
    seconds = _whole_seconds(value)
    if seconds < _TWO_MINUTES and seconds % 60:
        return (_seconds(seconds),)
    if seconds < _LONG_IN_MINUTES:
        minutes, rest = divmod(seconds, 60)
        return _without_zeros((minutes, _minutes), (rest, _seconds))
    if seconds < _LONG_IN_HOURS:
        hours, rest = divmod(seconds // 60, 60)
        return _without_zeros((hours, _hours), (rest, _minutes))
    days, rest = divmod(seconds // 3600, 24)
    return _without_zeros((days, _days), (rest, _hours))


def _whole_seconds(value: timedelta) -> int:
    length = abs(value)
    if timedelta(0) < length < _SECOND:
        return 1
    return (length + _SECOND / 2) // _SECOND


def _without_zeros(*parts: tuple[int, Callable[[int], Text]]) -> Pieces:
    return tuple(unit(count) for count, unit in parts if count) or (_seconds(0),)


def _seconds(count: int) -> Text:
    return say("span.seconds", "{count} s", count=count)


def _minutes(count: int) -> Text:
    return say("span.minutes", "{count} min", count=count)


def _hours(count: int) -> Text:
    return say("span.hours", "{count} h", count=count)


def _days(count: int) -> Text:
    return say("span.days", "{count} d", count=count)


def _decimal(value: Decimal, reader: Reader, _: int) -> Pieces:
    """With the decimals it has: 20.0 was read to a tenth, 20 was not."""
    places = max(0, -int(value.as_tuple().exponent)) if value.is_finite() else 0
    pattern = f"0.{'0' * places}" if places else "0"
    return (format_decimal(value, pattern, locale=_number_habits(reader.language)),)


@cache
def _number_habits(language: str) -> Locale:
    try:
        return Locale.parse(language)
    except (UnknownLocaleError, ValueError):
        return Locale("en")


_WRITERS: tuple[tuple[type, Callable[[Any, Reader, int], Pieces]], ...] = (
    (Text, lambda text, *_: (text,)),
    (str, _name),
    (int, lambda number, *_: (str(number),)),
    (Decimal, _decimal),
    (datetime, _time),
    (date, _day),
    (timedelta, _span),
)

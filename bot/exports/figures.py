"""How figures are written in exports: to the second, with their units, the site's own time."""

from datetime import datetime, timedelta
from decimal import Decimal


def clock(moment: datetime) -> str:
    return f"{moment:%H:%M:%S}"


def day_and_clock(moment: datetime) -> str:
    return f"{moment.day} {moment:%b %Y %H:%M:%S}"


def iso(moment: datetime) -> str:
    """ISO 8601 to the second with the offset from UTC, of the zone *moment* is in."""
    return moment.replace(microsecond=0).isoformat()


def span(length: timedelta) -> str:
    """To the second, cut off and never rounded up: 11:59.9 is no 12 minutes (S17)."""
    minutes, seconds = divmod(length // timedelta(seconds=1), 60)
    return f"{minutes} min {seconds:02} s"


def ages(least: timedelta, most: timedelta | None) -> str:
    """One age, or the two that it lies between where they differ by a second or more."""
    shown = dict.fromkeys(span(each) for each in (least, most) if each is not None)
    return " to ".join(shown)


def seconds(length: timedelta) -> str:
    return str(length // timedelta(seconds=1))


def celsius(reading: Decimal | None) -> str:
    return "" if reading is None else f"{reading} C"


def yes_no(value: object) -> str:
    return "yes" if value else "no"


def held(volume_ml: Decimal | None) -> str:
    """What a container held, after its name; nothing where that is not on the record."""
    return "" if volume_ml is None else f" ({volume_ml} ml)"

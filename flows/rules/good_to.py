"""S5: to when something is good, as people say it: its last good day, or a time of day."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from flows.calculations.calendar import last_good_day, local_day
from flows.parts.text import Text, say


def good_to(ends: datetime, zone: ZoneInfo) -> Text:
    """The last good day, with its year; a time of day where something ends at one."""
    day = last_good_day(ends, zone)
    return _end_of(day) if day else say("good_to.time", "{until}", until=ends)


def good_to_on_label(ends: datetime, zone: ZoneInfo) -> Text:
    """The same for what is read on another day than it was written: with the day of that time."""
    day = last_good_day(ends, zone)
    if day:
        return _end_of(day)
    return say(
        "good_to.label",
        "{clock} on {day}",
        clock=f"{ends.astimezone(zone):%H:%M}",
        day=local_day(ends, zone),
    )


def _end_of(day: date) -> Text:
    return say("good_to.day", "the end of {day}", day=day)


def good_to_in_row(ends: datetime, zone: ZoneInfo) -> Text:
    """The same where four must fit one text."""
    day = last_good_day(ends, zone)
    if day:
        return say("good_to.row", "to end {day}", day=day)
    return say("good_to.row.time", "until {until}", until=ends)

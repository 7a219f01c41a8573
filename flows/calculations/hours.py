"""When a site is open, and when its morning text is due: by its own clock and its changes."""

from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from zoneinfo import ZoneInfo

from flows.calculations.at_hand import OPENS_AT
from flows.calculations.calendar import local_day
from flows.parts.clinic import Site

BEFORE_OPENING = timedelta(minutes=30)
"""How long before it opens a clinic hears of its day. Source: common practice, none published."""

SPREAD = timedelta(minutes=10)
"""Sites that open at the same time hear one after another: no soak's bell waits behind them all.
Source: common practice, none published."""

LEAST_CLOSED = timedelta(hours=6)
"""So long is a site closed at least that is open over midnight; closed for less, one of its two
times is a slip. Source: common practice, none published."""

_A_DAY = timedelta(days=1)


def opens_at(site: Site) -> str:
    """Local opening time, 'HH:MM'; the usual one where the site has chosen none."""
    return site.way("opens_at") or OPENS_AT


def closes_next_day(opens: str, closes: str) -> bool:
    """Whether a site that is open over midnight is meant. Source: reading two times of day."""
    return time.fromisoformat(closes) <= time.fromisoformat(opens)


def is_hardly_closed(opens: str, closes: str) -> bool:
    """Whether the two times are no day that can be planned: 15:00 to 14:00 would be 23 hours.

    A night shift is one, and a day that goes on after midnight; of the same time twice day and
    night are meant. Source: `LEAST_CLOSED`.
    """
    opened, closed = (
        timedelta(hours=each.hour, minutes=each.minute)
        for each in map(time.fromisoformat, (opens, closes))
    )
    return timedelta(0) < opened - closed < LEAST_CLOSED


def is_open_over_midnight(site: Site) -> bool:
    """Whether its two times are those of a night: no slip, and not the same time twice."""
    opens, closes = opens_at(site), site.closes_at
    is_day_and_night = time.fromisoformat(opens) == time.fromisoformat(closes)
    hardly = is_day_and_night or is_hardly_closed(opens, closes)
    return closes_next_day(opens, closes) and not hardly


def open_on(site: Site, day: date) -> tuple[datetime, datetime]:
    """From when until when the site is open that begins on its *day*, in UTC.

    Source: PEP 495 for the reading of a wall-clock time; IANA time zone database.
    """
    opens, closes = opens_at(site), site.closes_at
    last = day + _A_DAY if closes_next_day(opens, closes) else day
    return _at(site, day, opens), _at(site, last, closes)


def open_next(site: Site, now: datetime, *, is_tomorrow: bool) -> tuple[datetime, datetime]:
    """When the site is open that is open now or next; or the time after that.

    A day that began yesterday goes on after midnight until it closes; only the next one is
    tomorrow. Source: as `open_on`.
    """
    today = local_day(now, ZoneInfo(site.zone))
    is_still_yesterdays = now < open_on(site, today - _A_DAY)[1]
    began = today - _A_DAY if is_still_yesterdays else today
    is_today = now < open_on(site, began)[1] and not is_tomorrow
    return open_on(site, began if is_today else began + _A_DAY)


def _at(site: Site, day: date, written: str) -> datetime:
    local = datetime.combine(day, time.fromisoformat(written), tzinfo=ZoneInfo(site.zone))
    return local.astimezone(UTC)


def wants_morning_text(site: Site) -> bool:
    """Every site does that has not switched it off."""
    return site.way("morning_text") != "off"


def next_morning(site: Site, now: datetime) -> datetime:
    """When the next morning text is due, in UTC: once for each day of the site's own calendar.

    Half an hour before opening, and up to `SPREAD` later, always the same for a site. Where
    clocks go forward over that time it is due as much later; where it comes twice, the first
    time. Source: PEP 495 for the reading of a wall-clock time; IANA time zone database.
    """
    today = local_day(now, ZoneInfo(site.zone))
    days = (today + count * _A_DAY for count in range(-1, 4))
    return min(due for due in (_due_on(site, day) for day in days) if due > now)


def _due_on(site: Site, day: date) -> datetime:
    opening = datetime.combine(day, time.fromisoformat(opens_at(site)))
    due = (opening - BEFORE_OPENING).replace(tzinfo=ZoneInfo(site.zone))
    return due.astimezone(UTC) + spread_of(site.id)


def spread_of(site: str) -> timedelta:
    """How much later than the first this site hears: whole seconds, drawn from its name."""
    drawn = int.from_bytes(sha256(site.encode()).digest()[:4], "big")
    return timedelta(seconds=drawn % (SPREAD // timedelta(seconds=1)))

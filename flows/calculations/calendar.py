"""Open life, reuse life, month ends, the site's own day."""

from calendar import monthrange
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

_DAY = timedelta(days=1)
_SECOND = timedelta(seconds=1)


def last_good_moment(start: datetime, life: timedelta | int, zone: ZoneInfo) -> datetime:
    """S5: from this moment on the solution is not to be used; until it, it may be.

    A life of N days (an int) ends at the exact hour, `start` + N x 24 h, or at 00:00 site time
    after its last day, whichever is earlier; the day of `start` is day 1. A span (a timedelta)
    ends at the exact hour alone. Returns UTC. Raises ValueError for a `start` without a time
    zone and for a life that is not above zero. Source: common practice, none published.
    """
    begun = _aware(start).astimezone(UTC)
    if isinstance(life, timedelta):
        return begun + _above_zero(life)
    exact = begun + _above_zero(life * _DAY)
    last_day = local_day(begun, zone) + (life - 1) * _DAY
    return min(exact, end_of_day(last_day, zone))


def end_of_day(day: date, zone: ZoneInfo) -> datetime:
    """Return the first instant, in UTC, at which the site's date is past `day`.

    Where clocks are put forward over midnight or over a whole day, that is the moment of the
    change; where midnight comes twice, the first. Source: IANA time zone database; PEP 495 for
    the two readings of a wall-clock time.
    """
    midnight = datetime.combine(day + _DAY, time.min, tzinfo=zone)
    before = midnight.replace(fold=1).astimezone(UTC)
    past = midnight.astimezone(UTC)
    # Only where the clock jumps over midnight do the two lie apart in this order.
    while past - before > _SECOND:
        between = before + (past - before) // _SECOND // 2 * _SECOND
        if local_day(between, zone) > day:
            past = between
        else:
            before = between
    return past


def last_good_day(ends: datetime, zone: ZoneInfo) -> date | None:
    """Return the last day of what is good until *ends*; None where that is within a day.

    What ends as a day does is good to the end of the day before: 00:00 alone is read either way.
    """
    last = local_day(ends - _SECOND, zone)
    return last if end_of_day(last, zone) == ends else None


def month_end(year: int, month: int) -> date:
    """Return the last day of a month: how long a container dated 03/27 is good.

    Source: the Gregorian calendar, ISO 8601; the reading of 03/27 is common practice, none
    published.
    """
    return date(year, month, monthrange(year, month)[1])


def local_day(moment: datetime, zone: ZoneInfo) -> date:
    """Return the site's own date at a moment; raises ValueError where it has no time zone."""
    return _aware(moment).astimezone(zone).date()


def _aware(moment: datetime) -> datetime:
    if moment.utcoffset() is None:
        raise ValueError(f"{moment} has no time zone; give an aware datetime, in UTC")
    return moment


def _above_zero(life: timedelta) -> timedelta:
    if life <= timedelta(0):
        raise ValueError(f"A life of {life} is none; give a day or a span above zero")
    return life

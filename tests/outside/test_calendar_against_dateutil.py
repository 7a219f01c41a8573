"""Date arithmetic against python-dateutil, with the IANA time zones of both (S5)."""

from datetime import UTC, date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo

from dateutil import tz
from dateutil.relativedelta import relativedelta
from hypothesis import example, given
from hypothesis import strategies as st

from flows.calculations.calendar import end_of_day, last_good_moment, local_day, month_end
from flows.calculations.hours import next_morning, spread_of
from flows.parts.clinic import Choice, Site

ZONES = (
    "Africa/Cairo",  # puts its clocks forward at midnight
    "Africa/Casablanca",
    "Africa/Kampala",
    "America/Havana",  # forward at midnight, back at one
    "America/Sao_Paulo",  # until 2019 forward and back at midnight
    "America/St_Johns",  # until 2011 forward and back at one minute past midnight
    "Asia/Beirut",
    "Asia/Kathmandu",
    "Asia/Kolkata",
    "Australia/Lord_Howe",  # half an hour
    "Europe/Berlin",
    "Pacific/Apia",  # left out 30 December 2011
    "Pacific/Chatham",
    "UTC",
)
DAYS = st.dates(date(2000, 1, 1), date(2036, 12, 31))
MOMENTS = st.datetimes(datetime(2000, 1, 1), datetime(2036, 12, 31), timezones=st.just(UTC))  # noqa: DTZ001


def other_zone(name: str) -> tzinfo:
    zone = tz.gettz(name)
    assert zone is not None
    return zone


@given(st.integers(2000, 2099), st.integers(1, 12))
def test_month_ends_are_those_of_relativedelta(year: int, month: int) -> None:
    assert date(year, month, 1) + relativedelta(day=31) == month_end(year, month)


@given(MOMENTS, st.sampled_from(ZONES))
def test_a_local_day_is_the_same_by_both_libraries(moment: datetime, name: str) -> None:
    assert moment.astimezone(other_zone(name)).date() == local_day(moment, ZoneInfo(name))


@given(DAYS, st.sampled_from(ZONES))
@example(date(2011, 12, 29), "Pacific/Apia")
@example(date(2011, 12, 30), "Pacific/Apia")
@example(date(2024, 4, 25), "Africa/Cairo")
@example(date(2018, 11, 3), "America/Sao_Paulo")
@example(date(2019, 2, 16), "America/Sao_Paulo")
@example(date(2009, 10, 31), "America/St_Johns")
@example(date(2028, 2, 29), "Europe/Berlin")
def test_a_day_ends_at_the_first_moment_dateutil_calls_another_day(day: date, name: str) -> None:
    zone = other_zone(name)

    ends = end_of_day(day, ZoneInfo(name))

    def is_past(moment: datetime) -> bool:
        return moment.astimezone(zone).date() > day

    quarters = [ends - timedelta(minutes=15 * back) for back in range(1, 4 * 48)]
    assert is_past(ends)
    assert not is_past(ends - timedelta(seconds=1))
    assert not any(map(is_past, quarters))


@given(MOMENTS, st.integers(1, 400), st.sampled_from(ZONES))
@example(datetime(2018, 11, 3, 12, tzinfo=UTC), 1, "America/Sao_Paulo")
@example(datetime(2011, 12, 28, 12, tzinfo=UTC), 2, "Pacific/Apia")
@example(datetime(2027, 10, 30, 22, 10, tzinfo=UTC), 1, "Europe/Berlin")
@example(datetime(2028, 2, 15, 12, tzinfo=UTC), 14, "Africa/Kampala")
@example(datetime(2027, 12, 25, 12, tzinfo=UTC), 14, "Africa/Kampala")
def test_S5_a_life_in_days_ends_where_dateutil_puts_it(
    poured: datetime, days: int, name: str
) -> None:
    there = poured.astimezone(other_zone(name)).replace(fold=0)
    midnight = there + relativedelta(days=days, hour=0, minute=0, second=0, microsecond=0)
    after_last_day = tz.resolve_imaginary(midnight).astimezone(UTC)
    exact_hour = poured + relativedelta(hours=24 * days)

    assert min(after_last_day, exact_hour) == last_good_moment(poured, days, ZoneInfo(name))


@given(MOMENTS, st.integers(1, 60), st.sampled_from(ZONES))
def test_S5_no_life_lasts_past_its_hours_or_its_last_day(
    poured: datetime, days: int, name: str
) -> None:
    zone = ZoneInfo(name)

    ends = last_good_moment(poured, days, zone)

    last_used = local_day(ends - timedelta(microseconds=1), zone)
    assert poured < ends <= poured + timedelta(days=days)
    assert last_used <= local_day(poured, zone) + timedelta(days=days - 1)


@given(st.sampled_from(ZONES), MOMENTS, st.times(time(0, 30), time(23, 59)))
@example("Africa/Cairo", datetime(2026, 4, 23, 12, tzinfo=UTC), time(0, 45))
@example("Australia/Lord_Howe", datetime(2026, 10, 3, 12, tzinfo=UTC), time(2, 45))
@example("Pacific/Apia", datetime(2011, 12, 29, 12, tzinfo=UTC), time(8))
def test_the_morning_text_is_half_an_hour_before_opening_whatever_the_clocks_do(
    zone: str, now: datetime, opens: time
) -> None:
    """A time that is left out is taken as dateutil's `resolve_imaginary` takes it."""
    choices = (Choice("site", "opens_at", f"{opens:%H:%M}", ""),)
    site = Site("s1", zone, "17:00", "en", None, choices)
    theirs = other_zone(zone)

    due = next_morning(site, now)

    first = now.astimezone(theirs).date() - timedelta(days=1)
    walls = (
        datetime.combine(first + timedelta(days=count), opens.replace(second=0, microsecond=0))
        - timedelta(minutes=30)
        for count in range(5)
    )
    resolved = [
        tz.resolve_imaginary(wall.replace(tzinfo=theirs)).astimezone(UTC) for wall in walls
    ]
    later = spread_of(site.id)
    assert due == min(each + later for each in resolved if each + later > now)

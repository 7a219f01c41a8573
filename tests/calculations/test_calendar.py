"""S5: how long a solution is good, by the site's own calendar."""

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from flows.calculations.calendar import (
    end_of_day,
    last_good_day,
    last_good_moment,
    local_day,
    month_end,
)

KAMPALA = ZoneInfo("Africa/Kampala")  # no clock changes, UTC+3
BERLIN = ZoneInfo("Europe/Berlin")


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_S5_the_day_of_pour_is_day_1() -> None:
    poured = at("2027-03-01T09:00+03:00")

    assert last_good_moment(poured, 14, KAMPALA) == at("2027-03-15T00:00+03:00")


def test_S5_a_life_of_one_day_ends_at_the_next_midnight() -> None:
    assert last_good_moment(at("2027-03-01T23:50+03:00"), 1, KAMPALA) == at(
        "2027-03-02T00:00+03:00"
    )


def test_S5_the_site_s_date_counts_and_not_the_server_s() -> None:
    poured = at("2027-03-01T22:30+00:00")  # already 2 March at the site

    assert last_good_moment(poured, 1, KAMPALA) == at("2027-03-03T00:00+03:00")


def test_S5_a_span_ends_at_the_exact_hour_over_midnight() -> None:
    mixed = at("2027-03-01T09:00+03:00")

    assert last_good_moment(mixed, timedelta(hours=24), KAMPALA) == at("2027-03-02T09:00+03:00")


def test_S5_the_exact_hour_decides_where_the_clock_was_put_back() -> None:
    poured = at("2027-10-31T00:10+02:00")  # put back one hour this night: the day has 25 hours

    assert last_good_moment(poured, 1, BERLIN) == at("2027-10-31T23:10+01:00")


def test_S5_the_exact_hour_is_counted_in_true_time_over_a_clock_change() -> None:
    poured = datetime(2027, 3, 27, 12, tzinfo=BERLIN)  # put forward one hour the next night

    good_until = last_good_moment(poured, timedelta(hours=24), BERLIN)

    assert good_until == at("2027-03-28T13:00+02:00")


def test_S5_a_clock_that_went_forward_ends_a_life_at_midnight_all_the_same() -> None:
    assert last_good_moment(at("2027-03-27T00:00+01:00"), 2, BERLIN) == at(
        "2027-03-29T00:00+02:00"
    )


@pytest.mark.parametrize(
    ("zone", "day", "ends"),
    [
        ("Africa/Kampala", date(2027, 2, 28), "2027-02-28T21:00+00:00"),
        ("Asia/Kathmandu", date(2028, 2, 29), "2028-02-29T18:15+00:00"),
        ("Europe/Berlin", date(2027, 3, 28), "2027-03-28T22:00+00:00"),
        ("Europe/Berlin", date(2027, 10, 31), "2027-10-31T23:00+00:00"),
        # put forward at midnight: the next day begins at 01:00
        ("Africa/Cairo", date(2024, 4, 25), "2024-04-25T22:00+00:00"),
        ("America/Sao_Paulo", date(2018, 11, 3), "2018-11-04T03:00+00:00"),
        # put forward over midnight, 23:30 to 00:30
        ("America/Toronto", date(1919, 3, 30), "1919-03-31T04:30+00:00"),
        # put back at midnight: the last hour of the day comes twice
        ("America/Sao_Paulo", date(2019, 2, 16), "2019-02-17T03:00+00:00"),
        # put back at 00:01: midnight comes twice, and the first one counts
        ("America/St_Johns", date(2009, 10, 31), "2009-11-01T02:30+00:00"),
        # a whole day left out, on the day before it and on itself
        ("Pacific/Apia", date(2011, 12, 29), "2011-12-30T10:00+00:00"),
        ("Pacific/Apia", date(2011, 12, 30), "2011-12-30T10:00+00:00"),
    ],
)
def test_S5_a_day_ends_when_the_site_s_date_moves_on(zone: str, day: date, ends: str) -> None:
    """Clock changes as in the IANA time zone database; moments worked out by hand from them."""
    assert at(ends) == end_of_day(day, ZoneInfo(zone))


@pytest.mark.parametrize(
    ("zone", "ends", "day"),
    [
        ("Africa/Kampala", "2027-02-10T00:00+03:00", date(2027, 2, 9)),
        ("Africa/Kampala", "2028-01-01T00:00+03:00", date(2027, 12, 31)),
        ("Africa/Kampala", "2027-02-10T00:00:01+03:00", None),
        ("Africa/Kampala", "2027-02-09T23:59+03:00", None),
        ("Africa/Kampala", "2027-02-10T00:00+00:00", None),
        ("Africa/Cairo", "2024-04-26T01:00+03:00", date(2024, 4, 25)),  # no 00:00 that day
        ("Pacific/Apia", "2011-12-30T10:00+00:00", date(2011, 12, 29)),
    ],
)
def test_S5_what_ends_at_midnight_is_good_to_the_end_of_the_day_before(
    zone: str, ends: str, day: date | None
) -> None:
    assert day == last_good_day(at(ends), ZoneInfo(zone))


def test_moments_come_back_in_utc() -> None:
    poured = datetime(2027, 3, 1, 9, tzinfo=KAMPALA)

    moments = [
        last_good_moment(poured, 14, KAMPALA),
        last_good_moment(poured, timedelta(hours=1), KAMPALA),
        end_of_day(date(2027, 3, 1), KAMPALA),
    ]

    assert all(moment.tzinfo is UTC for moment in moments)


def test_a_local_day_is_the_site_s() -> None:
    late = datetime(2027, 12, 31, 22, tzinfo=timezone(timedelta(0)))

    assert local_day(late, KAMPALA) == date(2028, 1, 1)


@pytest.mark.parametrize(
    ("year", "month", "last"), [(2027, 3, 31), (2027, 2, 28), (2028, 2, 29), (2027, 12, 31)]
)
def test_a_month_ends_on_its_last_day(year: int, month: int, last: int) -> None:
    assert date(year, month, last) == month_end(year, month)


def test_a_time_without_a_zone_is_refused() -> None:
    naive = datetime(2027, 3, 1, 9)  # noqa: DTZ001

    with pytest.raises(ValueError, match="2027-03-01 09:00:00 has no time zone"):
        last_good_moment(naive, 14, KAMPALA)
    with pytest.raises(ValueError, match="has no time zone"):
        local_day(naive, KAMPALA)


@pytest.mark.parametrize("life", [0, -1, timedelta(0), timedelta(seconds=-1)])
def test_a_life_that_is_none_is_refused(life: timedelta | int) -> None:
    with pytest.raises(ValueError, match="is none; give a day or a span above zero"):
        last_good_moment(at("2027-03-01T09:00+03:00"), life, KAMPALA)

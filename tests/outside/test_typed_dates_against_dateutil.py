"""Expiries as typed against python-dateutil: month ends, leap days, year ends (S5)."""

from datetime import date

import pytest
from dateutil import parser
from dateutil.relativedelta import relativedelta
from hypothesis import example, given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.dates import printed_date
from flows.replies.typed import tidy

DAYS = st.dates(date(2000, 1, 1), date(2099, 12, 31))
DAY_FIRST = ("%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y", "%d %m %Y", "%d %b %Y", "%d %B %Y", "%B %d, %Y")
MONTH_ONLY = ("%m/%Y", "%m-%Y", "%b %Y", "%B %Y")
TODAY = date(2026, 3, 2)


@given(DAYS, st.sampled_from(DAY_FIRST))
@example(date(2028, 2, 29), "%d/%m/%Y")
@example(date(2027, 12, 31), "%d %b %Y")
@example(date(2099, 12, 31), "%d.%m.%Y")
def test_S5_a_day_is_the_one_that_dateutil_reads(day: date, way: str) -> None:
    raw = day.strftime(way)

    assert parser.parse(raw, dayfirst=True).date() == printed_date(tidy(raw), "dmy")


@given(DAYS, st.sampled_from(("%m/%d/%Y", "%m-%d-%Y")))
def test_S5_so_it_is_where_the_month_comes_first(day: date, way: str) -> None:
    raw = day.strftime(way)

    assert parser.parse(raw, dayfirst=False).date() == printed_date(tidy(raw), "mdy")


@given(DAYS)
@example(date(2028, 2, 29))
def test_S5_and_where_the_year_does(day: date) -> None:
    for raw in (day.isoformat(), day.strftime("%Y/%m/%d"), day.strftime("%Y%m%d")):
        assert parser.parse(raw, yearfirst=True).date() == printed_date(tidy(raw), "dmy")


@given(DAYS, st.sampled_from(MONTH_ONLY))
@example(date(2028, 2, 1), "%m/%Y")
@example(date(2027, 2, 28), "%b %Y")
@example(date(2027, 12, 1), "%m-%Y")
def test_S5_a_month_alone_is_good_to_its_last_day(day: date, way: str) -> None:
    """What dateutil reads with the day of the default, put to the month's last by the same."""
    raw = day.strftime(way)
    first = parser.parse(f"1 {day:%B %Y}").date()

    assert first + relativedelta(day=31) == printed_date(tidy(raw))


@pytest.mark.parametrize("raw", ["31/02/2027", "29/02/2027", "31/04/2027", "32/01/2027"])
def test_S5_what_dateutil_refuses_is_refused(raw: str) -> None:
    with pytest.raises(parser.ParserError):
        parser.parse(raw, dayfirst=True)

    assert not isinstance(printed_date(tidy(raw), "dmy"), date)


NOT_FEBRUARY = tuple(month for month in range(1, 13) if month != 2)
"""Its 29th and 30th dateutil refuses."""


@given(
    st.builds(date, st.integers(2021, 2026), st.sampled_from(NOT_FEBRUARY), st.integers(27, 30)),
    st.sampled_from(("%y-%m-%d", "%y.%m.%d", "%y %m %d", "%y/%m/%d")),
)
@example(date(2025, 3, 31), "%y-%m-%d")
@example(date(2027, 3, 31), "%y %m %d")
def test_S5_where_dateutil_reads_it_two_ways_the_later_is_not_taken(day: date, way: str) -> None:
    """With the year first it is sooner than with the day first: both are asked back."""
    raw = day.strftime(way)
    by_year = parser.parse(raw, yearfirst=True).date()
    by_day = parser.parse(raw, dayfirst=True, yearfirst=False).date()

    read = printed_date(tidy(raw), "dmy", today=TODAY)

    assert read == NotUnderstood("ambiguous", dates=(by_day, by_year))

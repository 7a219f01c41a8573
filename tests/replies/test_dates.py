"""Dates as printed on containers and typed on phones."""

from datetime import date
from typing import cast

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.dates import Order, day_gone_by, printed_date
from flows.replies.typed import tidy
from tests.replies.as_typed import AROUND_DATES, DATES
from tests.replies.hints import hint


@pytest.mark.parametrize(("raw", "order", "expected"), DATES)
def test_a_date_as_typed(raw: str, order: str | None, expected: tuple[str, ...] | str) -> None:
    read = printed_date(tidy(raw), cast("Order | None", order))

    if isinstance(read, date):
        assert expected == (read.isoformat(),)
    else:
        assert expected == hint(read)


def test_S5_of_three_readings_the_one_long_over_is_left_out_and_the_soonest_comes_first() -> None:
    """030427: 2003-04-27, 3 April or 4 March 2027. Arithmetic."""
    left = (date(2027, 3, 4), date(2027, 4, 3))

    read = printed_date(tidy("030427"), today=date(2026, 3, 2))

    assert read == NotUnderstood("ambiguous", dates=left)


def test_an_ambiguous_date_comes_back_with_both() -> None:
    both = (date(2027, 4, 3), date(2027, 3, 4))

    assert printed_date(tidy("03/04/27")) == NotUnderstood("ambiguous", dates=both)


@pytest.mark.parametrize("raw", ["03/27", "mar 2027", "270300"])
def test_S5_a_month_alone_is_no_opening_date(raw: str) -> None:
    assert printed_date(tidy(raw), day_needed=True) == NotUnderstood("day")


def test_S5_an_opening_date_with_its_day_is_taken() -> None:
    assert printed_date(tidy("31/03/27"), day_needed=True) == date(2027, 3, 31)


def test_months_come_from_a_table_in_any_language() -> None:
    months = {"juin": 6, "juillet": 7, "ao\u00fbt": 8}

    assert printed_date(tidy("3 AOUT 27"), months=months) == date(2027, 8, 3)
    assert printed_date(tidy("3 ao\u00fb 27"), months=months) == date(2027, 8, 3)
    assert printed_date(tidy("3 jui 27"), months=months) == NotUnderstood("ambiguous")


@pytest.mark.parametrize("month", range(1, 13))
def test_every_english_month_in_full_and_by_three_letters(month: int) -> None:
    day = date(2027, month, 9)

    assert {day} == {printed_date(tidy(day.strftime(way))) for way in ("%d %B %y", "%d %b %y")}


@pytest.mark.parametrize("word", AROUND_DATES)
def test_a_word_that_stands_on_labels_is_let_be(word: str) -> None:
    assert printed_date(tidy(f"{word} 31/03/27")) == date(2027, 3, 31)


@pytest.mark.parametrize("day", ["1st", "2nd", "3rd", "4th"])
def test_an_ordinal_is_a_day(day: str) -> None:
    assert printed_date(tidy(f"{day} mar 27")) == date(2027, 3, int(day[0]))


WAYS = ("%y%m%d", "%Y%m%d", "%Y-%m-%d", "%d/%m/%Y", "%d.%m.%y", "%d %b %y", "%d%b%Y", "%B %d, %Y")


@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)), st.sampled_from(WAYS))
def test_every_day_of_the_century_is_read_as_strftime_writes_it(day: date, way: str) -> None:
    assert day == printed_date(tidy(day.strftime(way)), "dmy")


TODAY = date(2026, 3, 2)


@pytest.mark.parametrize(
    ("raw", "order", "expected"),
    [
        ("270331", "dmy", date(2027, 3, 31)),
        ("31/03/27", "dmy", date(2027, 3, 31)),
        ("260302", "dmy", date(2026, 3, 2)),
        ("040404", "dmy", date(2004, 4, 4)),
        ("300630", "dmy", date(2030, 6, 30)),
        ("310327", "dmy", (date(2031, 3, 27), date(2027, 3, 31))),
        ("040327", "mdy", (date(2004, 3, 27), date(2027, 4, 3))),
        ("27/03/31", "dmy", (date(2031, 3, 27), date(2027, 3, 31))),
        ("25/03/31", "dmy", (date(2031, 3, 25), date(2025, 3, 31))),
        ("25-03-31", "dmy", (date(2031, 3, 25), date(2025, 3, 31))),
        ("250331", "dmy", (date(2025, 3, 31), date(2031, 3, 25))),
        ("270325", "dmy", (date(2027, 3, 25), date(2025, 3, 27))),
        ("21/03/27", "dmy", (date(2027, 3, 21), date(2021, 3, 27))),
        ("20/03/27", "dmy", date(2027, 3, 20)),
        ("26/02/31", "dmy", (date(2031, 2, 26), date(2026, 2, 28))),
        ("27.06.31", "dmy", (date(2031, 6, 27), date(2027, 6, 30))),
        ("310227", "dmy", (date(2031, 2, 27), date(2027, 2, 28))),
        ("25 mar 31", "dmy", (date(2031, 3, 25), date(2025, 3, 31))),
        ("27 mar 28", "dmy", (date(2028, 3, 27), date(2027, 3, 28))),
        ("31 mar 25", "dmy", (date(2025, 3, 31), date(2031, 3, 25))),
        ("31 mar 27", "dmy", date(2027, 3, 31)),
        ("31 mar 2027", "dmy", date(2027, 3, 31)),
        ("8 mar 31", "dmy", date(2031, 3, 8)),
        ("20 mar 27", "dmy", date(2027, 3, 20)),
        ("1 mar 26", "dmy", date(2026, 3, 1)),
        ("202703", "dmy", date(2027, 3, 31)),
        ("033127", "mdy", date(2027, 3, 31)),
    ],
)
def test_S5_what_may_end_sooner_is_asked_back(
    raw: str, order: Order, expected: date | tuple[date, ...]
) -> None:
    """By the site's habit, or as it was asked for; unless it can be read as a nearer date."""
    read = printed_date(tidy(raw), order, today=TODAY)

    assert expected == (read.dates if isinstance(read, NotUnderstood) else read)


@pytest.mark.parametrize("raw", ["mar 31", "03/31", "0331", "3103", "mar 29", "31mar"])
def test_S5_a_month_of_a_year_far_ahead_may_be_a_day_without_its_year(raw: str) -> None:
    """OPA keeps for two years unopened: CDC/HICPAC 2008, Table 4."""
    assert printed_date(tidy(raw), "dmy", today=TODAY) == NotUnderstood("year")


@pytest.mark.parametrize("order", ["dmy", "mdy", None])
@pytest.mark.parametrize(
    "raw",
    ["04/05", "0405", "04.05.", "apr 05", "0506", "03/20", "10 11 12", "10/11/12", "01/12/20"],
)
def test_S5_what_would_have_been_over_for_years_may_lack_its_year(
    raw: str, order: Order | None
) -> None:
    """The 4th of May or the 5th of April; five years are the most: common practice, no source."""
    assert printed_date(tidy(raw), order, today=TODAY) == NotUnderstood("year")


@pytest.mark.parametrize(
    ("raw", "day"),
    [
        ("101112", date(2010, 11, 12)),
        ("30/04/2005", date(2005, 4, 30)),
        ("04/2005", date(2005, 4, 30)),
        ("2005-04", date(2005, 4, 30)),
        ("10 nov 12", date(2012, 11, 10)),
        ("04/21", date(2021, 4, 30)),
        ("10/11/21", date(2021, 11, 10)),
        ("mar 27", date(2027, 3, 31)),
    ],
)
def test_S5_as_it_is_asked_for_or_with_its_whole_year_it_is_over(raw: str, day: date) -> None:
    """So it is of the last five years, or with its month's name; mar 27 is printed on labels."""
    assert printed_date(tidy(raw), "dmy", today=TODAY) == day


def test_S5_the_year_is_asked_for_where_it_was_over_yesterday_or_long_ago() -> None:
    assert printed_date(tidy("26/03/01"), "dmy", today=TODAY) == NotUnderstood("year")


@pytest.mark.parametrize("raw", ["mar 28", "03/28", "0328", "2803", "mar 2031", "03/2031"])
def test_S5_a_month_of_the_next_years_or_with_its_whole_year_is_taken(raw: str) -> None:
    year = 2028 if "28" in raw else 2031

    assert printed_date(tidy(raw), "dmy", today=TODAY) == date(year, 3, 31)


@pytest.mark.parametrize(
    ("raw", "last"),
    [
        ("270229", date(2027, 2, 28)),
        ("29/02/27", date(2027, 2, 28)),
        ("31 jun 27", date(2027, 6, 30)),
        ("260931", date(2026, 9, 30)),
        ("20270300", date(2027, 3, 31)),
        ("2027-02-00", date(2027, 2, 28)),
        ("00/03/27", date(2027, 3, 31)),
    ],
)
def test_a_day_that_its_month_lacks_says_which_is_the_last(raw: str, last: date) -> None:
    read = printed_date(tidy(raw), "dmy", today=TODAY)

    assert read == NotUnderstood("no such date", dates=(last,))


@pytest.mark.parametrize("raw", ["260931", "261131", "260231", "270231", "270229"])
def test_S5_a_day_too_many_is_not_read_the_other_way_round(raw: str) -> None:
    """Neither for a later year, nor by either habit, nor without one."""
    orders: tuple[Order | None, ...] = ("dmy", "mdy", None)

    for order in orders:
        assert hint(printed_date(tidy(raw), order, today=TODAY)) == "no such date"


@given(
    st.dates(date(2021, 1, 1), date(2099, 12, 31)),
    st.dates(date(2026, 1, 1), date(2045, 12, 31)),
    st.sampled_from(
        ["%d%m%y", "%y%m%d", "%d/%m/%y", "%y-%m-%d", "%d %m %y", "%d %b %y", "%y %b %d"]
    ),
)
@example(date(2025, 3, 31), TODAY, "%y-%m-%d")
@example(date(2025, 3, 27), TODAY, "%d%m%y")
def test_S5_no_date_in_two_figures_a_part_is_taken_for_a_later_one(
    day: date, today: date, way: str
) -> None:
    """Whichever order was meant: it is that day, or sooner, or over itself, or it is asked back.

    Five years after its day nobody takes a container from the shelf: common practice, no source.
    """
    read = printed_date(tidy(day.strftime(way)), "dmy", today=today)

    long_over = day.year < today.year - 5
    assert isinstance(read, NotUnderstood) or read <= day or read < today or long_over


@pytest.mark.parametrize(
    ("raw", "possible"),
    [
        ("050326", (date(2005, 3, 26), date(2026, 3, 5))),
        ("051226", (date(2005, 12, 26), date(2026, 12, 5))),
        ("2005-03-26", date(2005, 3, 26)),
        ("260220", date(2026, 2, 20)),
    ],
)
def test_S5_a_day_long_ago_by_two_figures_is_asked_back(
    raw: str, possible: tuple[date, ...] | date
) -> None:
    """Nobody activated 21 years ago what was opened a minute ago: it would be thrown away."""
    read = day_gone_by(tidy(raw), "dmy", since=date(2026, 2, 2), today=TODAY)

    is_one = isinstance(possible, date)
    assert read == (possible if is_one else NotUnderstood("ambiguous", dates=possible))

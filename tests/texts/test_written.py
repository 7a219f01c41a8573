"""Times, days, spans and numbers are written so that nobody can take them for something else."""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from babel.dates import get_day_names, get_month_names

from bot.texts.catalogue import languages
from bot.texts.render import Renderer
from bot.texts.written import MONTHS, WEEKDAYS, Reader, written
from flows.parts.text import LONGEST, Value, say

NAIROBI = ZoneInfo("Etc/GMT-3")
NOON = datetime(2027, 3, 31, 9, tzinfo=UTC)
"""Noon in Nairobi, a Wednesday."""


def shown(value: Value, language: str = "en") -> str:
    return Renderer().render(say("t.value", "{v}", v=value), language, NAIROBI, NOON)


@pytest.mark.parametrize(
    ("away", "said"),
    [
        (timedelta(0), "12:00"),
        (timedelta(hours=11, minutes=59), "23:59"),
        (timedelta(hours=12), "Thu 00:00"),
        (-timedelta(hours=12), "00:00"),
        (-timedelta(hours=12, minutes=1), "Tue 23:59"),
        (timedelta(days=6), "Tue 12:00"),
        (-timedelta(days=6), "Thu 12:00"),
        (timedelta(days=7), "7 Apr 12:00"),
        (-timedelta(days=7), "24 Mar 12:00"),
        (timedelta(days=300), "25 Jan 12:00"),
        (timedelta(days=301), "26 Jan 2028"),
        (-timedelta(days=301), "3 Jun 2026"),
    ],
)
def test_a_time_is_told_by_what_means_one_time_only(away: timedelta, said: str) -> None:
    assert shown(NOON + away) == said


def test_a_time_is_the_sites_own_whatever_zone_it_came_in() -> None:
    elsewhere = NOON.astimezone(timezone(timedelta(hours=-8)))

    assert shown(elsewhere) == "12:00"


def test_today_is_the_sites_own_day() -> None:
    past_midnight = datetime(2027, 3, 31, 22, tzinfo=UTC)
    in_the_morning = say("t.value", "{v}", v=past_midnight + timedelta(hours=5))

    text = Renderer().render(in_the_morning, "en", NAIROBI, past_midnight)

    assert text == "06:00"


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="has no time zone"):
        shown(datetime(2027, 3, 31, 9))  # noqa: DTZ001 - what is refused


@pytest.mark.parametrize(
    ("day", "said"), [(date(2027, 3, 31), "31 Mar 2027"), (date(2009, 1, 5), "5 Jan 2009")]
)
def test_a_day_has_its_month_by_name(day: date, said: str) -> None:
    assert shown(day) == said


@pytest.mark.parametrize(
    ("span", "said"),
    [
        (timedelta(0), "0 s"),
        (timedelta(microseconds=1), "1 s"),
        (timedelta(seconds=59, milliseconds=499), "59 s"),
        (timedelta(seconds=59, milliseconds=500), "1 min"),
        (timedelta(seconds=90), "90 s"),
        (timedelta(seconds=119), "119 s"),
        (timedelta(seconds=120), "2 min"),
        (timedelta(seconds=140), "2 min 20 s"),
        (timedelta(minutes=12), "12 min"),
        (timedelta(seconds=5999), "99 min 59 s"),
        (timedelta(minutes=100), "1 h 40 min"),
        (timedelta(hours=26), "26 h"),
        (timedelta(hours=99, minutes=59, seconds=59), "99 h 59 min"),
        (timedelta(days=14), "14 d"),
        (timedelta(days=14, hours=5, minutes=59), "14 d 5 h"),
        (-timedelta(seconds=1), "1 s"),
    ],
)
def test_a_span_has_two_units_at_most(span: timedelta, said: str) -> None:
    assert shown(span) == said


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (Decimal("20.0"), "20.0"),
        (Decimal(20), "20"),
        (Decimal("0.55"), "0.55"),
        (Decimal("1E+2"), "100"),
        (Decimal("1234.5"), "1234.5"),
        (Decimal("-3.5"), "-3.5"),
        (Decimal("NaN"), "NaN"),
        (9999, "9999"),
    ],
)
def test_a_number_keeps_the_decimals_it_was_read_with(number: Decimal | int, said: str) -> None:
    assert shown(number) == said


def test_a_number_follows_the_habits_of_the_language() -> None:
    reader = Reader("fr", NAIROBI, NOON)

    assert written(Decimal("21.5"), reader) == ("21,5",)


def test_what_is_no_value_is_refused() -> None:
    with pytest.raises(TypeError, match="bytes cannot stand in a text"):
        shown(b"V1")  # type: ignore[arg-type]


def test_days_and_months_bear_their_common_english_names() -> None:
    """Source: Unicode CLDR, English, abbreviated (Babel)."""
    days, months = (
        get_day_names("abbreviated", locale="en"),
        get_month_names("abbreviated", locale="en"),
    )

    assert [text.english for text in WEEKDAYS] == [days[at] for at in range(7)]
    assert [text.english for text in MONTHS] == [months[at + 1] for at in range(12)]


YEAR = [NOON + timedelta(days=at, hours=at % 24) for at in range(-310, 311)]
SPANS = [timedelta(seconds=at) for at in range(100 * 60 + 60)]
UP_TO = {
    "span": timedelta(minutes=99, seconds=59),
    "late": timedelta(minutes=99, seconds=59),
    "dip_for": timedelta(minutes=2),
    "wait_for": timedelta(minutes=15),
}
"""How long each span can get; a soak or a delay of hours is written no longer than of minutes."""


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", ["time", "until"])
def test_no_time_is_longer_than_its_longest(language: str, name: str) -> None:
    lengths = [len(shown(at, language)) for at in YEAR]

    assert max(lengths) == len(LONGEST[name])


@pytest.mark.parametrize("language", languages())
def test_no_day_is_longer_than_its_longest(language: str) -> None:
    lengths = [len(shown(at.date(), language)) for at in YEAR]

    assert max(lengths) == len(LONGEST["day"])


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", UP_TO)
def test_no_span_is_longer_than_its_longest(language: str, name: str) -> None:
    lengths = [len(shown(span, language)) for span in SPANS if span <= UP_TO[name]]

    assert max(lengths) == len(LONGEST[name])


@pytest.mark.parametrize("language", languages())
def test_hours_and_days_are_no_longer_than_the_longest_span(language: str) -> None:
    long = [timedelta(hours=99, minutes=59), timedelta(days=999, hours=23), timedelta(days=3650)]

    assert max(len(shown(span, language)) for span in long) <= len(LONGEST["span"])


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", ["celsius", "fahrenheit", "least", "most", "ratio", "litres"])
def test_a_decimal_is_written_as_long_as_its_longest(language: str, name: str) -> None:
    assert len(shown(Decimal(LONGEST[name]), language)) == len(LONGEST[name])

"""YESTERDAY, 2 DAYS AGO, LAST FRIDAY beside a use: which day that is, by a calendar of 2026."""

from datetime import date

import pytest

from flows.replies.day_of_use import day_before

WEDNESDAY = date(2026, 3, 4)


@pytest.mark.parametrize(
    ("text", "day", "rest"),
    [
        ("0412 YESTERDAY", date(2026, 3, 3), "0412"),
        ("YESTERDAY MORNING 0412", date(2026, 3, 3), "0412"),
        ("0412 LAST NIGHT", date(2026, 3, 3), "0412"),
        ("0412 2 DAYS AGO", date(2026, 3, 2), "0412"),
        ("0412 TWO DAYS AGO", date(2026, 3, 2), "0412"),
        ("A DAY AGO 0412", date(2026, 3, 3), "0412"),
        ("0412 A WEEK AGO", date(2026, 2, 25), "0412"),
        ("0412 ON MONDAY", date(2026, 3, 2), "0412"),
        ("0412 LAST FRIDAY", date(2026, 2, 27), "0412"),
        ("0412 FRI EVENING", date(2026, 2, 27), "0412"),
        ("0412 LAST WEDNESDAY", date(2026, 2, 25), "0412"),
    ],
)
def test_a_day_before_today_is_counted_back(text: str, day: date, rest: str) -> None:
    told = day_before(text.split(), WEDNESDAY)

    assert told is not None
    assert (told.day, told.rest) == (day, tuple(rest.split()))


@pytest.mark.parametrize(
    "text", ["0412 LAST WEEK", "0412 DAYS AGO", "0412 99 DAYS AGO", "0412 SOME DAYS AGO"]
)
def test_a_day_that_is_not_said_is_of_before_all_the_same(text: str) -> None:
    told = day_before(text.split(), WEDNESDAY)

    assert told is not None
    assert told.day is None
    assert told.rest[0] == "0412"


@pytest.mark.parametrize(
    "text",
    [
        "0412",
        "0412 TODAY",
        "0412 AT 14:00",
        "0412 2 HOURS AGO",
        "THE LAST PATIENT",
        "",
        "0412 ON WEDNESDAY",
        "0412 MRS SUN K",
    ],
)
def test_what_names_no_other_day_is_of_today(text: str) -> None:
    assert day_before(text.split(), WEDNESDAY) is None

"""Use by the record: worked by hand, and what it says of too little to go by."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from flows.calculations.usage import (
    Left,
    Seen,
    fillings_left,
    strips_as_written,
    strips_left,
    volume_as_written,
)
from flows.parts.clinic import Container, Kind, StripBottle
from flows.parts.events import (
    Event,
    Immersed,
    Poured,
    Stamped,
    StripBottleOpened,
    StripDipped,
    StripsChecked,
)

ZONE = ZoneInfo("Etc/GMT-3")
DAY = timedelta(days=1)
NOW = datetime(2026, 3, 31, 4, 30, tzinfo=UTC)
"""A Tuesday's half past seven, before anything has been done."""

OURS = frozenset({"S0", "S1", "S2"})
"""All bottles of the product that were ever here."""

LATER = NOW + 90 * DAY


def ago(days: int) -> datetime:
    """Ten o'clock of a day so many days before."""
    return NOW - days * DAY + timedelta(hours=2, minutes=30)


def bottle(tag: str = "S1", opened: int = 20) -> StripBottle:
    return StripBottle(tag, "strip", "L9", ago(opened), LATER, checked=True)


def jug(tag: str = "J1", since: int = 27) -> Container:
    return Container(tag, Kind.JUG, "opa", "L1", None, ago(since), LATER, "jug_open_life")


def dip(strips: str = "S1") -> Event:
    return StripDipped("t", "T1", strips, None, NOW, NOW)


def soak(bath: str = "T1") -> Event:
    return Immersed("c", "V1", bath, LATER, "t", LATER, Decimal(21), NOW, 61)


def fill(
    tag: str = "T1", source: str = "J1", kind: Kind = Kind.BATH, ml: int | None = None
) -> Event:
    return Poured(
        tag, kind, source, "opa", "L1", NOW, LATER, "reuse_life",
        topped_up=False, volume_ml=Decimal(ml) if ml else None,
    )  # fmt: skip


def working(tag: str = "B1", since: int = 20, ml: int | None = 500) -> Container:
    """A working bottle that still stands."""
    volume = Decimal(ml) if ml else None
    return Container(
        tag, Kind.BOTTLE, "opa", "L1", "J1", ago(since), LATER, "reuse_life", volume_ml=volume
    )


def filled(tag: str = "B1", ml: int | None = 500) -> Event:
    return fill(tag, "J1", Kind.BOTTLE, ml)


def seen(*happened: tuple[int, Event]) -> Seen:
    """So many days before now, the oldest first."""
    in_order = sorted(happened, key=lambda each: -each[0])
    return Seen([Stamped(event, ago(days)) for days, event in in_order], ZONE, NOW)


def days_of(*counts: int, event: Event) -> list[tuple[int, Event]]:
    """So many of it on each of the last days, yesterday first."""
    return [(day, event) for day, count in enumerate(counts, 1) for _ in range(count)]


# -- strips -------------------------------------------------------------------------------------


def test_strips_left_last_by_the_median_of_the_days_of_use() -> None:
    """Used 3, 5, 4, 30: 42 of 50, so 8 are left; the median is 4.5, so they last 1 day."""
    past = seen(*days_of(3, 5, 4, 30, event=dip()))

    assert strips_left([bottle()], OURS, 50, 1, past) == Left(8, 1)


def test_one_odd_day_does_not_move_the_median() -> None:
    past = seen(*days_of(2, 2, 2, 2, 40, event=dip()))

    assert strips_left([bottle()], OURS, 60, 1, past) == Left(12, 6)


def test_strips_of_a_weekly_clinic_last_as_many_weeks() -> None:
    """Five on each Monday of four: 35 are left, for seven weeks."""
    past = seen(*[(day, dip()) for day in (22, 15, 8, 1)] * 5)

    assert strips_left([bottle(opened=27)], OURS, 55, 1, past) == Left(35, 49)


def test_of_a_clinic_that_works_from_monday_to_friday_the_weekends_count() -> None:
    """Four weeks, 2 a day: 14 are left, for seven working days, which is nine days and a bit."""
    worked = [day for day in range(1, 29) if (NOW - day * DAY).weekday() < 5]
    past = seen(*[(day, dip()) for day in worked] * 2)

    assert strips_left([bottle(opened=28)], OURS, 54, 1, past) == Left(14, 9)


def test_one_holiday_does_not_make_strips_last() -> None:
    past = seen(*[(day, dip()) for day in (1, 2, 3, 17, 18, 19)] * 2)

    assert strips_left([bottle()], OURS, 26, 1, past) == Left(14, 7)


def test_tests_with_another_products_strips_are_not_theirs() -> None:
    """One a day, and 11 of another product: 46 of 50 are left, for 46 days."""
    past = seen(*days_of(1, 1, 1, 1, event=dip()), *days_of(11, 11, 11, 11, event=dip("S9")))

    assert strips_left([bottle()], OURS, 50, 1, past) == Left(46, 46)


def test_tests_with_a_bottle_that_is_gone_count_for_how_long_the_next_one_lasts() -> None:
    past = seen(*days_of(0, 2, 2, event=dip("S0")), (1, dip()), (1, dip()))

    assert strips_left([bottle(opened=1)], OURS, 50, 1, past) == Left(48, 24)


def test_what_is_not_enough_for_a_day_of_use_lasts_for_none() -> None:
    past = seen(*[(day, dip()) for day in (15, 8, 1)] * 5)

    assert strips_left([bottle()], OURS, 19, 1, past) == Left(4, 0)


@pytest.mark.parametrize("days", [1, 2])
def test_fewer_than_three_days_of_use_say_nothing_of_how_long(days: int) -> None:
    past = seen(*days_of(*[4] * days, event=dip()))

    assert strips_left([bottle()], OURS, 50, 1, past) == Left(50 - 4 * days, None)


def test_use_is_of_the_last_four_weeks_and_what_is_left_of_all_since_it_was_opened() -> None:
    past = seen(*[(40, dip())] * 10, *days_of(1, 1, 1, event=dip()))

    assert strips_left([bottle(opened=60)], OURS, 20, 1, past) == Left(7, 7)


def test_today_is_not_over_and_is_no_day_of_use_yet() -> None:
    """Used 4, 4, 2 and, so far, 1: the median of the whole days is 4; with today it would be 3."""
    past = seen(*days_of(4, 4, 2, event=dip()), (0, dip()))
    later = Seen(past.entries, ZONE, ago(0) + timedelta(hours=1))

    assert strips_left([bottle()], OURS, 50, 1, later) == Left(39, 9)


def test_each_test_may_take_more_than_one_strip() -> None:
    past = seen(*days_of(2, 2, 2, event=dip()))

    assert strips_left([bottle()], OURS, 60, 3, past) == Left(42, 7)


def test_strips_of_its_own_quality_control_are_gone_too() -> None:
    """Three in good and three in diluted solution."""
    opened = StripBottleOpened(
        "S1", "strip", "L9", date(2027, 3, 31), ago(20), LATER, checked=True,
        qc_good=3, qc_diluted=3,
    )  # fmt: skip
    past = seen((20, opened), *days_of(1, 1, 1, event=dip()))

    assert strips_left([bottle()], OURS, 20, 1, past) == Left(11, 11)


def test_strips_of_a_control_that_came_later_are_gone_as_well() -> None:
    past = seen(
        (4, StripsChecked("S1", "L9", passed=True, qc_good=3, qc_diluted=3)),
        *days_of(1, 1, 1, event=dip()),
    )

    assert strips_left([bottle()], OURS, 20, 1, past) == Left(11, 11)


def test_bottles_are_counted_together_and_each_from_its_own_opening() -> None:
    past = seen(*[(12, dip("S1"))] * 8, (2, dip("S2")), (1, dip("S2")))
    both = [bottle("S1"), bottle("S2", opened=5)]

    left = strips_left(both, OURS, 10, 1, past)

    assert left == Left(10, 10)


def test_more_tests_than_a_bottle_held_leave_none_and_not_fewer() -> None:
    past = seen(*days_of(9, 9, 9, event=dip()))

    assert strips_left([bottle()], OURS, 20, 1, past) == Left(0, 0)


def test_without_a_bottle_nothing_is_left_to_count() -> None:
    assert strips_left([], OURS, 50, 1, seen()) is None


# -- jugs ---------------------------------------------------------------------------------------


def test_a_jug_is_counted_down_by_the_baths_filled_from_it_and_by_what_wipes_took() -> None:
    """5000 ml less 2 baths of 1000 and 3 wipes of 10: 2970 ml, which fill 2 more."""
    past = seen((20, fill()), (10, fill()), (9, soak()), (8, soak()), (7, soak()))

    assert fillings_left([jug()], 5000, 1000, 10, past) == Left(2, None)


def test_a_bath_filled_by_way_of_a_bottle_is_from_the_jug_all_the_same() -> None:
    past = seen((20, fill("B1", "J1", Kind.BOTTLE)), (19, fill("T1", "B1")))

    assert fillings_left([jug()], 5000, 1000, 10, past) == Left(4, None)


def test_what_another_jug_filled_is_not_counted_off_this_one() -> None:
    past = seen((30, fill("T9")), (20, fill("T1", "J2")), (19, dip()), (19, soak()))

    assert fillings_left([jug()], 5000, 1000, 10, past) == Left(5, None)


def test_a_jug_lasts_by_the_days_from_filling_to_filling() -> None:
    """Filled 15, 10 and 5 days ago: 5 days a filling, 2 left, 10 days."""
    past = seen((15, fill()), (10, fill()), (5, fill()))

    assert fillings_left([jug()], 5000, 1000, 10, past) == Left(2, 10)


def test_a_jug_of_a_weekly_clinic_lasts_as_many_weeks() -> None:
    past = seen(*[(day, fill()) for day in (22, 15, 8, 1)])

    assert fillings_left([jug()], 10_000, 1000, 10, past) == Left(6, 42)


def test_two_baths_filled_at_a_time_use_it_twice_as_fast() -> None:
    past = seen(*[(day, fill(tag)) for day in (15, 10, 5) for tag in ("T1", "T2")])

    assert fillings_left([jug()], 10_000, 1000, 10, past) == Left(4, 10)


def test_jugs_of_a_product_are_counted_together() -> None:
    past = seen((20, fill()))

    assert fillings_left([jug(), jug("J2", since=3)], 3000, 1000, 10, past) == Left(5, None)


def test_a_jug_counts_down_from_what_the_record_says_it_held() -> None:
    """2000 ml of its own and 5000 of one that is not on the record: 2 baths and 5."""
    own = replace(jug("J2"), volume_ml=Decimal(2000))

    assert fillings_left([own, jug()], 5000, 1000, 10, seen()) == Left(7, None)


def test_bottles_are_counted_off_a_jug_whatever_was_thrown_away_of_them() -> None:
    """Four of 500 ml, and a bath of 150 from each: a jug of 2 l is empty."""
    past = seen(*[(day, each) for day in (4, 3, 2, 1) for each in (filled(), fill("T1", "B1"))])

    left = fillings_left([replace(jug(), volume_ml=Decimal(2000))], 5000, 150, 10, past)

    assert left == Left(0, 0)


def test_what_is_in_a_bottle_that_still_stands_is_left_too() -> None:
    """1500 ml in the jug, 10 baths; 350 in the bottle less two wipes, 2 baths."""
    past = seen((9, filled()), (8, fill("T1", "B1")), (8, soak()), (7, soak()))

    assert fillings_left([jug(), working(since=9)], 2000, 150, 10, past) == Left(12, None)


def test_a_bottle_of_which_nobody_has_said_what_it_holds_is_the_jugs_until_it_is_used() -> None:
    past = seen((9, filled(ml=None)), (8, fill("T1", "B1")))

    left = fillings_left([jug(), working(since=9, ml=None)], 2000, 150, 10, past)

    assert left == Left(12, None)


def test_what_bore_the_tag_of_a_bottle_or_of_its_bath_at_another_time_is_not_counted() -> None:
    """1500 ml in the jug, 10 baths; 350 in the bottle, 2 baths; one was filled a day."""
    past = seen(
        (9, fill("T1", "B1")),
        (9, filled()),
        (8, fill("T2", "B1")),
        (7, fill("T2", "J9")),
        *[(6, soak("T2"))] * 10,
    )

    assert fillings_left([jug(), working(since=10)], 2000, 150, 10, past) == Left(12, 12)


def test_a_bath_is_counted_by_what_the_record_says_it_held() -> None:
    assert fillings_left([jug()], 2000, 150, 10, seen((9, fill(ml=400)))) == Left(10, None)


def test_bottles_alone_are_no_jug() -> None:
    assert fillings_left([working()], 5000, 1000, 10, seen()) is None


def test_without_a_jug_there_is_nothing_to_fill_from() -> None:
    assert fillings_left([], 5000, 1000, 10, seen()) is None


# -- as a site writes them ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "ml"),
    [("5 L", 5000), ("3.785 l", 3785), ("1L", 1000), ("0 L", None), ("5", None), ("five L", None)],
)
def test_a_jug_is_so_many_litres(written: str, ml: int | None) -> None:
    assert volume_as_written(written) == ml


@pytest.mark.parametrize(
    ("written", "strips"), [("50", 50), ("1", 1), ("0", None), ("5000", None), ("many", None)]
)
def test_a_bottle_holds_so_many_strips(written: str, strips: int | None) -> None:
    assert strips_as_written(written) == strips

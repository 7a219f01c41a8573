"""S2, S11, S12: the sums of a soak, at their very limits."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from flows.parts.clinic import Soak
from flows.parts.events import BellSet
from flows.rules.soak import (
    CLIMB,
    DETERGENT_MARGIN,
    LATE,
    MAXIMUM,
    SECOND_BELL,
    SECOND_PHONE,
    SUPERVISOR,
    clock_time,
    is_complete,
    is_over,
    lasted,
    overdue_bell,
)
from tests.kit.talk import NINE, shipped_protocol

MICROSECOND = timedelta(microseconds=1)
TWELVE = timedelta(minutes=12)
SOAK = Soak(NINE, NINE + timedelta(minutes=13), 77)
PROTOCOL = shipped_protocol()


def test_S2_a_soak_lasts_from_in_to_the_end_and_never_less_than_nothing() -> None:
    assert lasted(SOAK, NINE + TWELVE) == TWELVE
    assert lasted(SOAK, NINE) == timedelta(0)
    assert lasted(SOAK, NINE - TWELVE) == timedelta(0)


def test_S2_a_soak_is_complete_at_its_time_and_not_a_microsecond_before() -> None:
    assert is_complete(SOAK, NINE + TWELVE, TWELVE)
    assert is_complete(SOAK, NINE + TWELVE + MICROSECOND, TWELVE)
    assert not is_complete(SOAK, NINE + TWELVE - MICROSECOND, TWELVE)


def test_S12_a_soak_is_over_past_its_maximum_and_not_at_it() -> None:
    longest = PROTOCOL.maximum_soak

    assert not is_over(SOAK, NINE + longest, PROTOCOL)
    assert is_over(SOAK, NINE + longest + MICROSECOND, PROTOCOL)


def test_S12_the_devices_own_maximum_counts_where_it_is_shorter() -> None:
    model = replace(PROTOCOL.device_model, maximum_soak=timedelta(minutes=20))
    protocol = replace(PROTOCOL, device_model=model)

    assert not is_over(SOAK, NINE + timedelta(minutes=20), protocol)
    assert is_over(SOAK, NINE + timedelta(minutes=20) + MICROSECOND, protocol)


@pytest.mark.parametrize(
    ("stage", "after_the_bell"),
    [
        (SECOND_BELL, timedelta(minutes=2)),
        (SECOND_PHONE, timedelta(minutes=4)),
        (SUPERVISOR, timedelta(minutes=6)),
    ],
)
def test_S12_the_climb_is_a_bell_every_two_minutes(stage: int, after_the_bell: timedelta) -> None:
    bell = overdue_bell("c1", SOAK, stage, PROTOCOL)

    assert bell == BellSet(
        "c1.overdue", "overdue", SOAK.due + after_the_bell, cycle="c1", stage=stage
    )


def test_S12_the_last_bell_is_the_maximum_and_none_follows() -> None:
    last = overdue_bell("c1", SOAK, MAXIMUM, PROTOCOL)

    assert last is not None
    assert last.due == NINE + timedelta(minutes=60)
    assert last.stage == MAXIMUM
    assert overdue_bell("c1", SOAK, MAXIMUM + 1, PROTOCOL) is None


def test_S12_a_maximum_shorter_than_the_climb_does_not_overtake_it() -> None:
    model = replace(PROTOCOL.device_model, maximum_soak=timedelta(minutes=14))

    last = overdue_bell("c1", SOAK, MAXIMUM, replace(PROTOCOL, device_model=model))

    assert last is not None
    assert last.due == SOAK.due + timedelta(minutes=6)


def test_S12_the_stages_stand_in_order() -> None:
    assert (SECOND_BELL, SECOND_PHONE, SUPERVISOR, MAXIMUM) == (1, 2, 3, 4)
    assert (timedelta(minutes=2),) * 3 == CLIMB


def test_S2_S11_margins_as_they_are_promised() -> None:
    assert timedelta(seconds=15) == DETERGENT_MARGIN
    assert timedelta(seconds=30) == LATE


@pytest.mark.parametrize(
    ("due", "told"),
    [
        (datetime(2026, 3, 2, 9, 4, 45, tzinfo=UTC), datetime(2026, 3, 2, 9, 5, tzinfo=UTC)),
        (datetime(2026, 3, 2, 9, 4, 0, 1, tzinfo=UTC), datetime(2026, 3, 2, 9, 5, tzinfo=UTC)),
        (datetime(2026, 3, 2, 9, 4, tzinfo=UTC), datetime(2026, 3, 2, 9, 4, tzinfo=UTC)),
    ],
)
def test_S2_nobody_is_told_an_earlier_minute_than_the_bell(due: datetime, told: datetime) -> None:
    assert clock_time(due) == told

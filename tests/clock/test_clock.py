"""Clocks: real, held by hand, fast; and what a jump of one is."""

from datetime import UTC, datetime, timedelta
from threading import Thread

import pytest

from bot.clock import FastClock, HandClock, RealClock

NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)
SECOND = timedelta(seconds=1)


class Hands:
    """A wall clock and a count of seconds, moved by a test."""

    def __init__(self) -> None:
        self.wall = NINE
        self.ticks = 100.0

    def pass_by(self, span: timedelta, wall: timedelta | None = None) -> None:
        self.ticks += span.total_seconds()
        self.wall += span if wall is None else wall

    def clock(self) -> RealClock:
        return RealClock(lambda: self.wall, lambda: self.ticks)

    def fast(self, rate: int) -> FastClock:
        return FastClock(NINE, rate, lambda: self.ticks)


@pytest.mark.parametrize(
    ("wall_moves", "step"),
    [
        (60 * SECOND, 0 * SECOND),
        (62 * SECOND, 0 * SECOND),
        (62.5 * SECOND, 2.5 * SECOND),
        (58 * SECOND, 0 * SECOND),
        (57.5 * SECOND, -2.5 * SECOND),
        (3660 * SECOND, 3600 * SECOND),
        (-3540 * SECOND, -3600 * SECOND),
    ],
)
def test_S2_wall_and_ticks_apart_by_more_than_two_seconds_is_a_step(
    wall_moves: timedelta, step: timedelta
) -> None:
    hands = Hands()
    clock = hands.clock()

    hands.pass_by(60 * SECOND, wall_moves)

    assert clock.step() == step


def test_S2_a_look_that_was_held_up_is_no_step() -> None:
    hands = Hands()
    held_up = [0.0, 0.0, 7.0, 0.0]

    def ticks() -> float:
        hands.pass_by(timedelta(seconds=held_up.pop() if held_up else 0))
        return hands.ticks

    clock = RealClock(lambda: hands.wall, ticks)

    hands.pass_by(60 * SECOND)

    assert clock.step() == 0 * SECOND


def test_a_step_is_told_once() -> None:
    hands = Hands()
    clock = hands.clock()
    hands.pass_by(SECOND, 60 * SECOND)

    told = [clock.step(), clock.step()]

    assert told == [59 * SECOND, 0 * SECOND]


@pytest.mark.parametrize(
    ("old", "held_up", "asks_again"),
    [(0.04, 0, False), (0.06, 0, True), (0.04, 0.3, True)],
    ids=["of a moment ago", "older", "held up"],
)
def test_S2_a_reading_of_a_moment_ago_is_a_look(
    *, old: float, held_up: float, asks_again: bool
) -> None:
    hands = Hands()
    walls: list[datetime] = []

    def wall() -> datetime:
        walls.append(hands.wall)
        hands.pass_by(held_up * SECOND)
        return walls[-1]

    clock = RealClock(wall, lambda: hands.ticks)
    hands.pass_by(SECOND, 60 * SECOND)
    walls.clear()
    clock.now()
    hands.pass_by(old * SECOND)
    step = clock.step()

    assert (len(walls) > 1) == asks_again
    assert abs(step - 59 * SECOND) < SECOND


@pytest.mark.parametrize("by_hand", [True, False])
def test_what_it_showed_at_the_last_look_stays_until_the_next(*, by_hand: bool) -> None:
    hands = Hands()
    clock = HandClock(hands.wall) if by_hand else hands.clock()
    first = clock.looked_at()

    hands.pass_by(SECOND, 60 * SECOND)
    if isinstance(clock, HandClock):
        clock.set(hands.wall)
    before = clock.looked_at()
    clock.step()

    assert before == first == hands.wall - 60 * SECOND
    assert clock.looked_at() == hands.wall


def test_the_real_clock_tells_utc_and_has_not_jumped() -> None:
    clock = RealClock()

    first, step, second = clock.now(), clock.step(), clock.now()

    assert first <= second
    assert first.utcoffset() == timedelta(0)
    assert step == timedelta(0)


def test_the_real_clock_agrees_with_the_machine_s_own() -> None:
    before = datetime.now(UTC)  # noqa: TID251 - the outside world to compare with

    now = RealClock().now()

    assert before <= now <= datetime.now(UTC)  # noqa: TID251


def test_waiting_is_as_long_as_the_clock_needs_and_never_negative() -> None:
    hands = Hands()

    waits = [
        hands.clock().wait_for(NINE + 60 * SECOND),
        hands.clock().wait_for(NINE - SECOND),
        hands.fast(60).wait_for(NINE + 60 * SECOND),
        HandClock(NINE).wait_for(NINE + 60 * SECOND),
    ]

    assert waits == [60 * SECOND, 0 * SECOND, SECOND, 60 * SECOND]


def test_a_clock_held_by_hand_stands_still_until_it_is_moved() -> None:
    clock = HandClock(NINE)

    first = clock.now()
    clock.advance(5 * SECOND)
    second = clock.now()
    clock.set(NINE - SECOND)

    assert (first, second, clock.now()) == (NINE, NINE + 5 * SECOND, NINE - SECOND)
    assert clock.step() == timedelta(0)


def test_a_jump_by_hand_is_a_step_and_moving_is_not() -> None:
    clock = HandClock(NINE)

    clock.jump(60 * SECOND)
    told = [clock.step(), clock.step()]

    assert told == [60 * SECOND, timedelta(0)]
    assert clock.now() == NINE + 60 * SECOND


def test_a_clock_held_by_hand_may_be_moved_by_many_hands() -> None:
    clock = HandClock(NINE)

    def move() -> None:
        for _ in range(500):
            clock.advance(SECOND)

    threads = [Thread(target=move) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)

    assert clock.now() == NINE + 2000 * SECOND


@pytest.mark.parametrize("rate", [1, 10, 60])
def test_a_fast_clock_runs_at_a_multiple_of_real_time(rate: int) -> None:
    hands = Hands()
    clock = hands.fast(rate)

    hands.pass_by(3 * SECOND)

    assert clock.now() == NINE + 3 * rate * SECOND
    assert clock.rate == rate


def test_changing_the_rate_does_not_move_the_hands() -> None:
    hands = Hands()
    clock = hands.fast(60)
    hands.pass_by(SECOND)

    clock.run_at(1)
    at_once = clock.now()
    hands.pass_by(SECOND)

    assert at_once == NINE + 60 * SECOND
    assert clock.now() == NINE + 61 * SECOND


def test_skipping_goes_ahead_and_never_back() -> None:
    hands = Hands()
    clock = hands.fast(1)

    clock.skip_to(NINE + 300 * SECOND)
    ahead = clock.now()
    clock.skip_to(NINE)
    hands.pass_by(SECOND)

    assert ahead == NINE + 300 * SECOND
    assert clock.now() == NINE + 301 * SECOND
    assert clock.step() == timedelta(0)


@pytest.mark.parametrize("rate", [0, -1, 2, 3600])
def test_other_rates_are_refused(rate: int) -> None:
    with pytest.raises(ValueError, match=f"1, 10 or 60 times, not at {rate}"):
        FastClock(NINE, rate)

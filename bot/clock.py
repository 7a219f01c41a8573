"""The only place that asks what time it is: real, held by hand, or fast."""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Protocol

NO_STEP = timedelta(0)
STEP_WORTH_AN_ENTRY = timedelta(seconds=2)
"""S2: less is what a machine's clock may wander. Source: own rule, none published."""

LOOKS = 5
HELD_UP_S = 0.25
"""A database or a machine that takes longer to tell the time is asked again, so often."""

FRESH_S = 0.05
"""A reading so young will do for a look: a database is not asked twice for one text."""

RATES = (1, 10, 60)


class Clock(Protocol):
    def now(self, told: datetime | None = None) -> datetime:
        """The time, in UTC; *told* is what a database that tells the time has just said."""
        ...

    def step(self) -> timedelta:
        """By how much the clock has jumped since the last look, if by more than two seconds."""
        ...

    def looked_at(self) -> datetime:
        """What it showed at that last look."""
        ...

    def wait_for(self, moment: datetime) -> timedelta:
        """How much real time passes until this clock shows *moment*; never below zero."""
        ...


def machine_time() -> datetime:
    """The machine's own time, for whatever must agree with its own timers."""
    return datetime.now(UTC)


def _machine_ticks() -> float:
    # Where there is one, the clock that also runs while the machine sleeps: waking is no jump.
    return time.clock_gettime(getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC))


@dataclass(frozen=True, slots=True)
class _Reading:
    """What both hands showed, and for how long somebody was at it, in seconds."""

    wall: datetime
    ticks: float
    took: float


class RealClock:
    """*wall* may be the database's own time; *ticks* only ever count on, in seconds."""

    def __init__(
        self,
        wall: Callable[[], datetime] = machine_time,
        ticks: Callable[[], float] = _machine_ticks,
    ) -> None:
        self._wall = wall
        self._ticks = ticks
        self._one_look = threading.Lock()
        self._seen = self._look()

    def now(self, told: datetime | None = None) -> datetime:
        if told is not None:
            return told
        reading = self._last = self._read()
        return reading.wall

    def step(self) -> timedelta:
        with self._one_look:
            before, now = self._seen, self._last
            is_fresh = now.took < HELD_UP_S and self._ticks() - now.ticks < FRESH_S
            self._seen = now = now if is_fresh and now.ticks >= before.ticks else self._look()
        step = (now.wall - before.wall) - timedelta(seconds=now.ticks - before.ticks)
        return step if abs(step) > STEP_WORTH_AN_ENTRY else NO_STEP

    def looked_at(self) -> datetime:
        return self._seen.wall

    def wait_for(self, moment: datetime) -> timedelta:
        return max(moment - self.now(), NO_STEP)

    def _look(self) -> "_Reading":
        """Both hands at once: a look that was held up in between is taken again."""
        for _ in range(LOOKS):
            reading = self._last = self._read()
            if reading.took < HELD_UP_S:
                break
        return reading

    def _read(self) -> "_Reading":
        before, wall, after = self._ticks(), self._wall(), self._ticks()
        return _Reading(wall, after, after - before)


class HandClock:
    """Stands still until it is moved. May be moved from one thread and read from others."""

    def __init__(self, now: datetime) -> None:
        self._now = self._looked_at = now
        self._step = NO_STEP
        self._lock = threading.Lock()

    def now(self, told: datetime | None = None) -> datetime:  # noqa: ARG002 - it has its own
        with self._lock:
            return self._now

    def set(self, now: datetime) -> None:
        with self._lock:
            self._now = now

    def advance(self, span: timedelta) -> None:
        with self._lock:
            self._now += span

    def jump(self, step: timedelta) -> None:
        """Jump as a machine's clock does when somebody sets it: `step` tells, once."""
        with self._lock:
            self._now += step
            self._step += step

    def step(self) -> timedelta:
        with self._lock:
            step, self._step = self._step, NO_STEP
            self._looked_at = self._now
        return step if abs(step) > STEP_WORTH_AN_ENTRY else NO_STEP

    def looked_at(self) -> datetime:
        return self._looked_at

    def wait_for(self, moment: datetime) -> timedelta:
        return max(moment - self.now(), NO_STEP)


class FastClock:
    """For the demo: runs at a multiple of real time, and can skip ahead. Never goes back."""

    def __init__(
        self, start: datetime, rate: int = 1, ticks: Callable[[], float] = _machine_ticks
    ) -> None:
        self._ticks = ticks
        self._lock = threading.Lock()
        self._shown = start
        self._since = ticks()
        self._rate = 1
        self.run_at(rate)

    @property
    def rate(self) -> int:
        return self._rate

    def now(self, told: datetime | None = None) -> datetime:  # noqa: ARG002 - it has its own
        with self._lock:
            return self._time()

    def run_at(self, rate: int) -> None:
        """From now on *rate* seconds to a real one. Raises ValueError but for 1, 10 and 60."""
        if rate not in RATES:
            raise ValueError(f"The demo's clock runs at 1, 10 or 60 times, not at {rate}.")
        with self._lock:
            self._settle(self._time())
            self._rate = rate

    def skip_to(self, moment: datetime) -> None:
        """Show *moment* at once; a moment gone by changes nothing."""
        with self._lock:
            self._settle(max(moment, self._time()))

    def step(self) -> timedelta:
        """Skipping ahead is the demo's business and no fault of a clock."""
        return NO_STEP

    def looked_at(self) -> datetime:
        return self.now()

    def wait_for(self, moment: datetime) -> timedelta:
        return max((moment - self.now()) / self._rate, NO_STEP)

    def _time(self) -> datetime:
        return self._shown + timedelta(seconds=(self._ticks() - self._since) * self._rate)

    def _settle(self, moment: datetime) -> None:
        self._shown, self._since = moment, self._ticks()

"""Every engine looks at what is due, in time, until it is stopped; a failed look ends nothing."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from threading import Event, Semaphore

import pytest

from bot.clock import HandClock
from bot.engines.by_hand import ByHand
from bot.engines.engine import Chore, Duties, Engine
from bot.engines.scheduler import LOOK_EVERY, Scheduler, Tried

AT_MOST_S = 20
"""For what happens at once on an idle machine: seconds on a busy one."""
HOURS = timedelta(hours=9)
NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)
OFTEN = timedelta(milliseconds=10)


class Work:
    """Counts what it is asked to do; can be told to fail."""

    def __init__(self) -> None:
        self.rung, self.sent, self.chored = Semaphore(0), Semaphore(0), Semaphore(0)
        self.next_bell: timedelta | None = None
        self.fails = False

    def ring(self) -> None:
        self.rung.release()
        if self.fails:
            raise OSError

    def send(self) -> None:
        self.sent.release()
        if self.fails:
            raise OSError

    def duties(self) -> Duties:
        chore = Chore("chore", HOURS, self.chored.release)
        return Duties(self.ring, lambda: self.next_bell, self.send, (chore,))


def happens(what: Semaphore, times: int = 1) -> bool:
    return all(what.acquire(timeout=AT_MOST_S) for _ in range(times))


@pytest.fixture
def work() -> Work:
    return Work()


Start = Callable[[timedelta], Engine]


@pytest.fixture
def start(work: Work) -> Iterator[Start]:
    """Starts a scheduler that looks that often; it is stopped when the test is over."""
    started: list[Engine] = []

    def run(every: timedelta) -> Engine:
        engine = Scheduler(work.duties(), every)
        engine.start()
        started.append(engine)
        return engine

    yield run
    for engine in started:
        engine.stop()


def test_all_is_looked_at_as_soon_as_it_starts(work: Work, start: Start) -> None:
    start(HOURS)

    assert happens(work.rung)
    assert happens(work.sent)
    assert happens(work.chored)


def test_it_looks_again_and_again(work: Work, start: Start) -> None:
    start(OFTEN)

    assert happens(work.rung, times=5)
    assert happens(work.sent, times=5)


def test_woken_it_sends_without_waiting_for_the_next_turn(work: Work, start: Start) -> None:
    engine = start(HOURS)
    assert happens(work.sent)

    engine.wake()

    assert happens(work.sent)


def test_it_looks_when_the_next_bell_is_due(work: Work, start: Start) -> None:
    work.next_bell = timedelta(milliseconds=5)

    start(HOURS)

    assert happens(work.rung, times=3)


def test_a_bell_far_off_is_no_reason_to_look(work: Work, start: Start) -> None:
    work.next_bell = HOURS * 2
    start(HOURS)
    assert happens(work.rung)

    assert not work.rung.acquire(timeout=0.05)


def test_a_look_that_fails_ends_nothing(work: Work, start: Start) -> None:
    work.fails = True

    start(OFTEN)

    assert happens(work.rung, times=3)
    assert happens(work.sent, times=3)


def test_what_fails_is_a_line_and_not_said_again_for_minutes(
    work: Work, caplog: pytest.LogCaptureFixture
) -> None:
    clock = HandClock(NINE)
    tried = Tried("fetch", work.send, clock.now)
    work.fails = True

    for _ in range(13):
        tried()
        clock.advance(timedelta(minutes=1))
    work.fails = False
    tried()
    tried()

    said = [record.getMessage() for record in caplog.records]
    assert [line.split(" error=")[0] for line in said] == [
        "fetch failed times=1",
        "fetch failed times=6",
        "fetch failed times=11",
        "fetch works again failed_before=13",
    ]
    assert "error=OSError at=" in said[0]
    assert [record.exc_info for record in caplog.records if record.exc_info] == []


def test_a_scheduler_whose_duties_fail_writes_no_traceback(
    work: Work, start: Start, caplog: pytest.LogCaptureFixture
) -> None:
    work.fails = True

    start(OFTEN)

    assert happens(work.rung, times=5)
    assert happens(work.sent, times=5)
    assert {record.getMessage().split(" error=")[0] for record in caplog.records} == {
        "ring failed times=1",
        "send failed times=1",
    }
    assert "Traceback" not in caplog.text


def test_stopping_waits_for_what_is_being_done_and_then_nothing_is_done(work: Work) -> None:
    begun, may_end, ended = Event(), Event(), Event()

    def rings_long() -> None:
        begun.set()
        may_end.wait(AT_MOST_S)
        ended.set()

    engine = Scheduler(Duties(rings_long, lambda: None, work.send), HOURS)
    engine.start()
    assert begun.wait(AT_MOST_S)

    may_end.set()
    engine.stop()

    assert ended.is_set()
    assert happens(work.sent)
    engine.wake()
    assert not work.sent.acquire(timeout=0.05)


def test_stopping_tells_a_long_duty_to_come_to_its_end(work: Work) -> None:
    begun, told, ended = Event(), Event(), Event()

    def sends_long() -> None:
        begun.set()
        assert told.wait(AT_MOST_S)
        ended.set()

    engine = Scheduler(Duties(work.ring, lambda: None, sends_long, end=told.set), HOURS)
    engine.start()
    assert begun.wait(AT_MOST_S)

    engine.stop()

    assert ended.is_set()


def test_stopping_before_it_began_does_no_harm(work: Work) -> None:
    engine = Scheduler(work.duties())

    engine.wake()
    engine.stop()

    assert not work.sent.acquire(blocking=False)


def test_stopping_twice_does_no_harm(work: Work) -> None:
    engine = Scheduler(work.duties(), HOURS)
    engine.start()
    assert happens(work.sent)

    engine.stop()
    engine.stop()

    assert not work.sent.acquire(timeout=0.05)


def test_bells_that_another_process_set_are_at_most_half_a_second_late() -> None:
    assert timedelta(seconds=0.5) >= LOOK_EVERY


def test_by_hand_nothing_is_done_until_somebody_looks(work: Work) -> None:
    engine = ByHand(work.duties())

    engine.start()
    engine.wake()
    engine.stop()

    assert not work.rung.acquire(blocking=False)
    assert not work.sent.acquire(blocking=False)


def test_by_hand_a_look_rings_first_and_then_sends() -> None:
    done: list[str] = []
    duties = Duties(
        lambda: done.append("ring"),
        lambda: None,
        lambda: done.append("send"),
        (Chore("chore", HOURS, lambda: done.append("chore")),),
    )
    engine = ByHand(duties)

    engine.look()
    engine.do_chores()

    assert done == ["ring", "send", "chore"]

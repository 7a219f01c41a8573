"""APScheduler: bells are looked at when the next one is due, and at a short interval.

It holds no bell: its own job store would drop late ones, lose one that a death interrupts, and
could not be shared. It only wakes somebody to look at rows.
"""

import logging
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta

from apscheduler.jobstores.base import JobLookupError
from apscheduler.schedulers.background import BackgroundScheduler

from bot.clock import machine_time
from bot.engines.engine import Duties
from bot.logs import wrong

_log = logging.getLogger(__name__)

LOOK_EVERY = timedelta(seconds=0.5)
"""A bell that another process has set is at most this late."""

RING, SEND = "ring", "send"

NOW = timedelta(0)

SAY_AGAIN = timedelta(minutes=5)
"""A gateway or a database that is gone for hours is a line every so often, not two a second."""


class Tried:
    """A duty that is tried again whatever happens to it; what happens is said, but not each time.

    It is only ever called by one thread at a time: the scheduler sees to that.
    """

    def __init__(
        self, name: str, do: Callable[[], object], now: Callable[[], datetime] = machine_time
    ) -> None:
        self._name = name
        self._do = do
        self._now = now
        self._failed = 0
        self._said_at: datetime | None = None

    def __call__(self) -> None:
        try:
            self._do()
        except Exception as error:  # noqa: BLE001 - the next turn tries again
            self._failed += 1
            self._say(error)
        else:
            if self._failed:
                _log.warning("%s works again failed_before=%d", self._name, self._failed)
            self._failed, self._said_at = 0, None

    def _say(self, error: Exception) -> None:
        now = self._now()
        if self._said_at is None or now - self._said_at >= SAY_AGAIN:
            self._said_at = now
            _log.error("%s failed times=%d %s", self._name, self._failed, wrong(error))


class Scheduler:
    def __init__(self, duties: Duties, look_every: timedelta = LOOK_EVERY) -> None:
        self._duties = duties
        self._look_every = look_every
        self._scheduler = BackgroundScheduler(
            timezone="UTC",
            job_defaults={"coalesce": True, "max_instances": 1, "misfire_grace_time": None},
        )
        # It warns of a look that still goes on when the next one is due: no cause for alarm here.
        logging.getLogger("apscheduler").setLevel(logging.ERROR)

    def start(self) -> None:
        self._repeat(RING, self._ring, self._look_every)
        self._repeat(SEND, self._duties.send, self._look_every)
        for chore in self._duties.chores:
            self._repeat(chore.name, chore.do, chore.every)
        self._scheduler.start()

    def wake(self) -> None:
        if self._scheduler.running:
            self._look_in(NOW, SEND)

    def stop(self) -> None:
        if self._scheduler.running:
            self._duties.end()
            self._scheduler.shutdown(wait=True)

    def _ring(self) -> None:
        self._duties.ring()
        wait = self._duties.next_bell_in()
        if wait is not None and wait < self._look_every:
            self._look_in(wait, RING)

    def _repeat(self, name: str, do: Callable[[], object], every: timedelta) -> None:
        self._scheduler.add_job(
            Tried(name, do),
            "interval",
            seconds=every.total_seconds(),
            id=name,
            next_run_time=machine_time(),
        )

    def _look_in(self, wait: timedelta, name: str) -> None:
        # It may be stopped at this moment: then nobody needs to be woken.
        with suppress(JobLookupError):
            self._scheduler.modify_job(name, next_run_time=machine_time() + wait)

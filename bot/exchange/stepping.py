"""A clock that jumped: told to every site that it bears on, before anything else (S2, S5).

One that went ahead bears on what runs, one that was put back on every date there is.
"""

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from threading import Lock

from bot.clock import STEP_WORTH_AN_ENTRY
from bot.exchange.path import Occasion, Parts, decide
from bot.record.read import last_at, of_kind
from bot.store.exchange import run_exchange
from bot.store.live import live_sites, timed_sites
from bot.store.transaction import Unit
from flows.answer import FactIn
from flows.parts.events import ClockStepped

NONE = timedelta(0)


class Stepping:
    """Looks at the clock before each exchange.

    Every process that shares a clock sees it jump, and each site is told of it once. Whoever comes
    while a jump is being told waits for it: an OUT that slipped past would count minutes that
    nothing has soaked.
    """

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._one_at_a_time = Lock()
        self._has_begun = False
        self._owed = NONE
        self._since = self._told_at = parts.clock.looked_at()
        """The clock's last look before what is owed, in its time of then; and our last telling."""

    def note(self) -> None:
        """Look, and tell; a jump that could not be told is owed and told at the next look."""
        with self._one_at_a_time:
            if not self._has_begun:
                self._tell_all(self._sites_ahead(), self._tell_of_before)
                self._has_begun = True
            if self._owed == NONE:
                self._since = max(self._parts.clock.looked_at(), self._told_at)
            self._owed += self._parts.clock.step()
            if self._owed == NONE:
                return
            self._tell_all(self._sites_concerned(), self._tell)
            self._owed, self._told_at = NONE, self._parts.clock.now()

    def _tell_all(self, sites: Iterable[str], tell: Callable[[Unit], None]) -> None:
        for site in sites:
            run_exchange(self._parts.store, site, tell)

    def _sites_concerned(self) -> tuple[str, ...]:
        with self._parts.store.read() as connection:
            return timed_sites(connection) if self._owed > NONE else live_sites(connection)

    def _sites_ahead(self) -> list[str]:
        """Whose last entry is of a time to come: the clock was put back while nobody looked."""
        with self._parts.store.read() as connection:
            now = self._parts.clock.now()
            lasts = {site: last_at(connection, site) for site in live_sites(connection)}
        return [site for site, last in lasts.items() if _ahead(last, now) > NONE]

    def _tell_of_before(self, unit: Unit) -> None:
        now = self._parts.clock.now()
        ahead = _ahead(last_at(unit.connection, unit.site), now)
        if ahead > NONE:
            decide(self._parts, unit, FactIn((ClockStepped(-ahead),)), Occasion(now))

    def _tell(self, unit: Unit) -> None:
        untold = self._owed - self._told_by_others(unit)
        if abs(untold) > STEP_WORTH_AN_ENTRY:
            occasion = Occasion(self._parts.clock.now())
            decide(self._parts, unit, FactIn((ClockStepped(untold),)), occasion)

    def _told_by_others(self, unit: Unit) -> timedelta:
        """How far others have moved this site, in that direction, since our last look."""
        begun = self._since + min(self._owed, NONE)
        told = (
            each.stamped for each in of_kind(unit.connection, unit.site, ClockStepped.__name__)
        )
        later = (each.event for each in told if each.at > begun)
        steps = (each.step for each in later if isinstance(each, ClockStepped))
        return sum((step for step in steps if (step > NONE) == (self._owed > NONE)), NONE)


def _ahead(last: datetime | None, now: datetime) -> timedelta:
    """By how much the last entry is ahead of the clock, if by more than that may wander."""
    ahead = last - now if last else NONE
    return ahead if ahead > STEP_WORTH_AN_ENTRY else NONE

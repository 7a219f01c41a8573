"""A clock that jumped: told to every site with a running soak before anything else (S2)."""

from datetime import timedelta
from threading import Lock

from bot.exchange.path import Occasion, Parts, decide
from bot.store.live import timed_sites
from bot.store.transaction import Unit, run_exchange
from flows.answer import FactIn
from flows.parts.events import ClockStepped

NONE = timedelta(0)


class Stepping:
    """Looks at the clock before each exchange.

    Whoever comes while a jump is being told waits for it: an OUT that slipped past would count
    minutes that nothing has soaked.
    """

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._one_at_a_time = Lock()
        self._owed = NONE

    def note(self) -> None:
        """Look, and tell; a jump that could not be told is owed and told at the next look."""
        with self._one_at_a_time:
            self._owed += self._parts.clock.step()
            if self._owed == NONE:
                return
            with self._parts.store.read() as connection:
                sites = timed_sites(connection)
            for site in sites:
                run_exchange(self._parts.store, site, self._tell)
            self._owed = NONE

    def _tell(self, unit: Unit) -> None:
        occasion = Occasion(self._parts.clock.now())
        decide(self._parts, unit, FactIn((ClockStepped(self._owed),)), occasion)

"""An exchange is done in company, and alone and all of it again where others got in the way."""

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from typing import Generic, TypeVar

from sqlalchemy import select
from sqlalchemy.exc import DBAPIError

from bot.store.errors import StoreAway, StoreBusy
from bot.store.tables import entry
from bot.store.together import Waiting
from bot.store.transaction import Store, Unit, unit_if_free

T = TypeVar("T")

ATTEMPTS = 5

RECONNECTIONS = 1
"""A restart takes longer than anybody should wait for here; whoever asked comes again."""

_RERUN_STATES = frozenset({"40001", "40P01", "55P03"})
"""Serialisation failure, deadlock, lock not available. Source: PostgreSQL manual, Appendix A."""
_RERUN_CODES = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})


def run_exchange(store: Store, site: str, work: Callable[[Unit], T]) -> T:
    """Do *work* in one exchange; all of it again where others got in the way, or the line broke.

    What others want done meanwhile, at this site or another, shares the transaction, so *work*
    may be done in any thread and, where it comes to nothing, more than once. Raises StoreBusy
    after `ATTEMPTS`, and StoreAway once a new connection breaks too or cannot be had. Where a
    line breaks at the very commit, the chain says whether it was one.
    """
    errand = _Errand(site, work)
    broken = 0
    last: Exception
    for way in (_in_company, *(_alone,) * (ATTEMPTS - 1)):
        try:
            return way(store, errand)
        except _Parted as error:
            last = error
        except StoreAway as error:
            broken, last = broken + 1, error
            if broken > RECONNECTIONS:
                raise
        except DBAPIError as error:
            if not _others_in_the_way(error):
                raise
            last = error
    raise StoreBusy(site, ATTEMPTS) from last


class _Parted(Exception):
    """In company it could not be done: the site was held, or the fault was perhaps another's."""


@dataclass(frozen=True, slots=True)
class _Finished(Generic[T]):
    """What was handed back, and the last entry, of a work that only lacked its commit."""

    result: T
    seq: int
    head: str

    def stands(self, unit: Unit) -> bool:
        """Whether it was committed after all: nobody else can have written that very entry."""
        wanted = select(entry.c.hash).where(entry.c.site == unit.site, entry.c.seq == self.seq)
        return unit.connection.execute(wanted).scalar_one_or_none() == self.head


@dataclass(eq=False, slots=True)
class _Errand(Waiting, Generic[T]):
    """What somebody wants done at a site, and what has come of it."""

    site: str
    work: Callable[[Unit], T]
    finished: list[_Finished[T]] = field(default_factory=list, init=False)
    """What earlier tries got to: it may have been committed unheard."""
    outcome: T | Exception = field(default_factory=_Parted, init=False)

    def do(self, unit: Unit) -> T:
        for earlier in self.finished:
            if earlier.stands(unit):
                return earlier.result
        before, result = unit.seq, self.work(unit)
        if unit.seq > before:
            self.finished.append(_Finished(result, unit.seq, unit.head))
        return result


def _alone(store: Store, errand: _Errand[T]) -> T:
    with store.exchange(errand.site) as unit:
        return errand.do(unit)


def _in_company(store: Store, errand: _Errand[T]) -> T:
    store.together.go(errand, partial(_do_all, store))
    if isinstance(errand.outcome, Exception):
        raise errand.outcome
    return errand.outcome


def _do_all(store: Store, company: Iterator[_Errand[T]]) -> None:
    """One transaction for all of them, each site locked once and heard in the order of coming.

    A site that another process holds keeps nobody waiting: its errands go alone.
    """
    taken: list[_Errand[T]] = []
    done: list[tuple[_Errand[T], T]] = []
    try:
        with store.write() as connection:
            units: dict[str, Unit | None] = {}
            for errand in company:
                taken.append(errand)
                if errand.site not in units:
                    units[errand.site] = unit_if_free(connection, errand.site)
                if (unit := units[errand.site]) is not None:
                    done.append((errand, errand.do(unit)))
    except Exception as error:  # noqa: BLE001 - raised by each of them, where it is theirs
        taken.extend(company)
        if len(taken) == 1 or isinstance(error, StoreAway):
            for errand in taken:
                errand.outcome = error
        return
    for errand, result in done:
        errand.outcome = result


def _others_in_the_way(error: DBAPIError) -> bool:
    said = error.orig
    if isinstance(said, sqlite3.Error):
        return (getattr(said, "sqlite_errorcode", 0) & 0xFF) in _RERUN_CODES
    return getattr(said, "sqlstate", None) in _RERUN_STATES

"""What waits at the same time goes together: one commit, and nobody's fault is another's."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from threading import Semaphore, Thread
from typing import Any

import pytest
from sqlalchemy import event, text
from sqlalchemy.exc import DBAPIError

from bot.record.append import append
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.engine import open_store
from bot.store.errors import SiteUnknown
from bot.store.exchange import run_exchange
from bot.store.together import MOST, Together, Waiting
from bot.store.transaction import Store, Unit
from flows.parts.events import DeviceEnrolled, Stamped
from tests.kit.record import NINE, SITE

ENOUGH_S = 60
VALE = "vale"


class Errand(Waiting):
    """One that tells when it stands in line."""

    def __init__(self, in_line: Semaphore) -> None:
        super().__init__()
        self._in_line = in_line

    def wait(self) -> None:
        self._in_line.release()
        super().wait()


def started(*works: Callable[[], object]) -> list[Thread]:
    threads = [Thread(target=work) for work in works]
    for thread in threads:
        thread.start()
    return threads


def ended(threads: list[Thread]) -> None:
    for thread in threads:
        thread.join(ENOUGH_S)
    assert not any(thread.is_alive() for thread in threads)


def goes_of(comers: int, do: Callable[[Iterator[Errand]], object] = list) -> list[int]:
    """How many each go takes along, where *comers* come while the first is out alone."""
    together: Together[Errand] = Together()
    in_line = Semaphore(0)
    others: list[Thread] = []
    goes: list[int] = []

    def count(company: Iterator[Errand]) -> None:
        taken = [next(company)]
        if not goes:
            others.extend(started(*(comes for _ in range(comers))))
            for _ in range(comers):
                assert in_line.acquire(timeout=ENOUGH_S)
        goes.append(0)
        mine = len(goes) - 1
        taken.extend(company)
        goes[mine] = len(taken)
        do(iter(taken))

    def comes() -> None:
        with suppress(LookupError):
            together.go(Errand(in_line), count)

    ended(started(comes))
    ended(others)
    return goes


def test_who_is_alone_waits_for_nobody() -> None:
    assert goes_of(0) == [1]


def test_who_comes_meanwhile_is_taken_along() -> None:
    assert goes_of(5) == [6]


def test_a_go_is_no_larger_than_another_process_can_wait_for() -> None:
    assert goes_of(MOST + 3) == [MOST, 4]


def test_a_go_that_breaks_off_leaves_nobody_in_line() -> None:
    def breaks(_: Iterator[Errand]) -> None:
        raise LookupError

    assert goes_of(MOST + 3, breaks) == [MOST, 4]


def enrol(label: str) -> Callable[[Unit], str]:
    def work(unit: Unit) -> str:
        append(unit, [Stamped(DeviceEnrolled(label, "endo"), NINE)])
        return label

    return work


def meanwhile(
    store: Store,
    monkeypatch: pytest.MonkeyPatch,
    *others: tuple[str, Callable[[Unit], object]],
) -> list[object]:
    """V1 is being enrolled at SITE while the *others* come; what each was told, in that order."""
    in_line = Semaphore(0)
    told: list[object] = [None] * (len(others) + 1)
    threads: list[Thread] = []

    wait = Waiting.wait

    def tells(errand: Waiting) -> None:
        in_line.release()
        wait(errand)

    monkeypatch.setattr(Waiting, "wait", tells)

    def tell(at: int, site: str, work: Callable[[Unit], object]) -> Callable[[], None]:
        def run() -> None:
            try:
                told[at] = run_exchange(store, site, work)
            except Exception as error:  # noqa: BLE001 - what was raised is what was told
                told[at] = error

        return run

    def holds(unit: Unit) -> object:
        if not threads:
            for at, (site, work) in enumerate(others, 1):
                threads.extend(started(tell(at, site, work)))
                assert in_line.acquire(timeout=ENOUGH_S)
        return enrol("V1")(unit)

    ended(started(tell(0, SITE, holds)))
    ended(threads)
    return told


def open_sites(store: Store) -> None:
    for site in (SITE, VALE):
        store.open_chain(site)


def devices(store: Store, site: str = SITE) -> list[str]:
    """What a site's record holds, once it and its rows have been found whole."""
    with store.read() as connection:
        assert verify(connection, site) == []
    assert rebuild(store, site) == []
    with store.exchange(site) as unit:
        return [*unit.clinic.devices]


def commits(store: Store) -> list[int]:
    seen: list[int] = []
    event.listen(store.writing, "commit", lambda _: seen.append(1))
    return seen


def test_what_comes_meanwhile_is_committed_with_what_is_at_work(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)
    seen = commits(store)

    told = meanwhile(store, monkeypatch, (VALE, enrol("W1")), (VALE, enrol("W2")))

    assert told == ["V1", "W1", "W2"]
    assert len(seen) == 1
    assert (devices(store), devices(store, VALE)) == (["V1"], ["W1", "W2"])


def test_who_comes_second_to_a_site_sees_what_the_first_did(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)

    def what_is_there(unit: Unit) -> list[str]:
        return [*unit.clinic.devices]

    told = meanwhile(store, monkeypatch, (SITE, what_is_there), (SITE, enrol("V2")))

    assert told == ["V1", ["V1"], "V2"]
    assert devices(store) == ["V1", "V2"]


def test_a_fault_is_told_to_its_own_and_the_others_are_done(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)
    tries: list[int] = []

    def fails(unit: Unit) -> None:
        tries.append(1)
        enrol("W9")(unit)
        raise ValueError("poison")

    told = meanwhile(store, monkeypatch, (VALE, fails), (VALE, enrol("W1")))

    assert [told[0], repr(told[1]), told[2]] == ["V1", "ValueError('poison')", "W1"]
    assert (devices(store), devices(store, VALE)) == (["V1"], ["W1"])
    assert len(tries) == 2


def test_a_statement_that_the_database_refuses_is_told_to_its_own(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)

    def asks_wrongly(unit: Unit) -> None:
        unit.connection.execute(text("SELECT nothing_of_that_name"))

    told = meanwhile(store, monkeypatch, (VALE, asks_wrongly), (SITE, enrol("V2")))

    assert isinstance(told[1], DBAPIError)
    assert [told[0], told[2]] == ["V1", "V2"]
    assert devices(store) == ["V1", "V2"]


def test_a_site_that_nobody_opened_is_unknown_to_its_own_alone(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)

    told = meanwhile(store, monkeypatch, ("nowhere", enrol("N1")), (VALE, enrol("W1")))

    assert isinstance(told[1], SiteUnknown)
    assert [told[0], told[2]] == ["V1", "W1"]


def test_nobody_is_told_before_the_commit_and_one_that_fails_is_made_good(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)
    left = [1]

    def refuses_once(_: object) -> None:
        if left:
            left.pop()
            raise OSError("disk full")

    event.listen(store.writing, "commit", refuses_once)

    told = meanwhile(store, monkeypatch, (VALE, enrol("W1")), (SITE, enrol("V2")))

    assert told == ["V1", "W1", "V2"]
    assert (sorted(devices(store)), devices(store, VALE)) == (["V1", "V2"], ["W1"])


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_commit_whose_answer_was_lost_is_found_in_the_chains(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)
    left = [1]
    commit = store.writing.dialect.do_commit

    def breaks_once(connection: Any) -> None:
        commit(connection)
        if left:
            left.pop()
            connection.close()
            connection.execute("SELECT 1")

    monkeypatch.setattr(store.writing.dialect, "do_commit", breaks_once)

    told = meanwhile(store, monkeypatch, (VALE, enrol("W1")), (SITE, enrol("V2")))

    assert told == ["V1", "W1", "V2"]
    assert (devices(store), devices(store, VALE)) == (["V1", "V2"], ["W1"])


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_site_that_another_process_holds_keeps_no_company_waiting(
    store: Store, database: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_sites(store)
    store.open_chain("dale")
    other, seen = open_store(database), commits(store)
    holding = other.exchange("dale")
    holding.__enter__()

    def lets_go(_: object) -> None:
        if len(seen) == 1:
            holding.__exit__(None, None, None)

    event.listen(store.writing, "commit", lets_go)

    told = meanwhile(store, monkeypatch, ("dale", enrol("D1")), (VALE, enrol("W1")))

    assert told == ["V1", "D1", "W1"]
    assert len(seen) == 2
    other.close()

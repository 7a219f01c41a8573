"""Lock the site, then load; everything of an exchange, or nothing; reruns when others collide."""

from collections.abc import Callable
from datetime import datetime
from threading import Barrier, Thread

import pytest
from sqlalchemy import Connection, event, text
from sqlalchemy.exc import DBAPIError, OperationalError

from bot.record.append import append
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.engine import open_store
from bot.store.errors import SiteUnknown, StoreBusy
from bot.store.exchange import ATTEMPTS, run_exchange
from bot.store.transaction import Store, Unit
from flows.parts.events import DeviceEnrolled, Stamped
from tests.kit.record import NINE, SITE, write


def enrol(label: str) -> Callable[[Unit], None]:
    return lambda unit: append(unit, [Stamped(DeviceEnrolled(label, "endo"), NINE)])


def in_threads(*works: Callable[[], None]) -> None:
    threads = [Thread(target=work) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert not any(thread.is_alive() for thread in threads)


def test_writers_at_once_never_fork_the_chain(database: str) -> None:
    stores = [open_store(database) for _ in range(3)]
    stores[0].open_chain(SITE)
    together = Barrier(6)

    def writes(number: int) -> Callable[[], None]:
        def run() -> None:
            together.wait()
            for turn in range(5):
                run_exchange(stores[number % 3], SITE, enrol(f"W{number}{turn}"))

        return run

    in_threads(*(writes(number) for number in range(6)))

    with stores[0].read() as connection:
        assert verify(connection, SITE) == []
        assert connection.execute(text("SELECT seq FROM site")).scalar_one() == 30
    assert rebuild(stores[0], SITE) == []
    for store in stores:
        store.close()


def test_whoever_has_the_lock_second_sees_what_the_first_wrote(database: str) -> None:
    first, second = open_store(database), open_store(database)
    first.open_chain(SITE)
    seen: list[tuple[int, bool]] = []
    inside, asked = Barrier(2), Barrier(2)

    def waits() -> None:
        inside.wait()
        asked.wait()
        with second.exchange(SITE) as unit:
            seen.append((unit.seq, "V1" in unit.clinic.devices))

    def writes() -> None:
        with first.exchange(SITE) as unit:
            inside.wait()
            asked.wait()
            enrol("V1")(unit)

    in_threads(waits, writes)

    assert seen == [(1, True)]
    first.close()
    second.close()


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_sites_do_not_wait_for_each_other(store: Store) -> None:
    store.open_chain(SITE)
    store.open_chain("vale")

    with store.exchange(SITE) as unit:
        run_exchange(store, "vale", enrol("V1"))
        enrol("V2")(unit)

    with store.read() as connection:
        heads = connection.execute(text("SELECT id, seq FROM site ORDER BY id")).all()
    assert [tuple(head) for head in heads] == [("hill", 1), ("vale", 1)]


def test_a_reader_does_not_wait_for_a_writer_and_sees_nothing_unfinished(store: Store) -> None:
    write(store, [])

    with store.exchange(SITE) as unit:
        enrol("V1")(unit)
        with store.read() as connection:
            seen = connection.execute(text("SELECT count(*) FROM entry")).scalar_one()

    assert seen == 0


def test_a_reader_cannot_write(store: Store) -> None:
    with pytest.raises(DBAPIError, match=r"read.?only"), store.read() as connection:
        connection.execute(text("DELETE FROM live"))


def test_a_site_without_a_chain_is_unknown(store: Store) -> None:
    with pytest.raises(SiteUnknown, match="There is no site nowhere"):
        run_exchange(store, "nowhere", enrol("V1"))


def test_opening_a_chain_twice_keeps_what_it_holds(store: Store) -> None:
    store.open_chain(SITE)
    run_exchange(store, SITE, enrol("V1"))

    store.open_chain(SITE)

    with store.exchange(SITE) as unit:
        assert unit.seq == 1


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
@pytest.mark.parametrize("state", ["40001", "40P01", "55P03"])
def test_all_of_an_exchange_is_done_again_when_others_got_in_the_way(
    store: Store, state: str
) -> None:
    store.open_chain(SITE)
    tries: list[int] = []

    def collides_once(unit: Unit) -> None:
        tries.append(unit.seq)
        enrol(f"V{len(tries)}")(unit)
        if len(tries) == 1:
            clash = f"DO $$BEGIN RAISE EXCEPTION 'clash' USING ERRCODE = '{state}'; END$$"
            unit.connection.execute(text(clash))

    run_exchange(store, SITE, collides_once)

    assert tries == [0, 0]
    with store.exchange(SITE) as unit:
        assert [*unit.clinic.devices] == ["V2"]


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_others_in_the_way_for_ever_is_said_and_nothing_is_written(store: Store) -> None:
    store.open_chain(SITE)
    tries: list[int] = []

    def always_collides(unit: Unit) -> None:
        tries.append(1)
        enrol("V1")(unit)
        unit.connection.execute(
            text("DO $$BEGIN RAISE EXCEPTION 'clash' USING ERRCODE = '40001'; END$$")
        )

    with pytest.raises(StoreBusy, match=f"refused {ATTEMPTS} times"):
        run_exchange(store, SITE, always_collides)

    assert len(tries) == ATTEMPTS
    with store.exchange(SITE) as unit:
        assert unit.seq == 0


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_a_locked_database_is_tried_again(store: Store, database: str) -> None:
    store.open_chain(SITE)
    stranger = open_store(database)
    begins: list[int] = []

    def hurried(connection: object, _: object) -> None:
        begins.append(1)
        connection.execute("PRAGMA busy_timeout=1")  # type: ignore[attr-defined]

    event.listen(store.writing, "connect", hurried)
    store.writing.dispose()
    holding = stranger.writing.connect()
    holding.begin()

    with pytest.raises(StoreBusy):
        run_exchange(store, SITE, enrol("V1"))

    holding.close()
    run_exchange(store, SITE, enrol("V1"))
    stranger.close()


def test_another_error_is_not_tried_again(store: Store) -> None:
    store.open_chain(SITE)
    tries: list[int] = []

    def is_wrong(unit: Unit) -> None:
        tries.append(1)
        unit.connection.execute(text("SELECT nothing_of_that_name"))

    with pytest.raises((OperationalError, DBAPIError)):
        run_exchange(store, SITE, is_wrong)

    assert tries == [1]


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_S2_the_time_of_an_exchange_is_read_once_its_site_is_locked(store: Store) -> None:
    write(store, [Stamped(DeviceEnrolled("V1", "endo"), NINE)])
    moments: list[datetime | None] = []

    def waits() -> None:
        with store.exchange(SITE) as unit:
            moments.append(unit.moment)

    waiting = Thread(target=waits)
    with store.exchange(SITE):
        waiting.start()
        while not store.look(_somebody_waits):
            pass
        released = store.now()
    waiting.join(60)

    (moment,) = moments
    assert moment is not None
    assert moment > released


def _somebody_waits(connection: Connection) -> bool:
    waits = text("SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock'")
    return bool(connection.execute(waits).scalar_one())

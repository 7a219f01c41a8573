"""How the databases are opened."""

import fcntl
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import StatementError

from bot.store.engine import open_store
from bot.store.errors import StoreUnknown
from bot.store.tables import bell
from bot.store.transaction import Store
from tests.kit.record import NINE, morning, write

SETTINGS = {
    "journal_mode": "wal",
    "synchronous": 2,
    "busy_timeout": 5000,
    "foreign_keys": 1,
    "recursive_triggers": 1,
}


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_sqlite_keeps_what_it_has_said_it_keeps(store: Store) -> None:
    for opened in (store.read, store.write):
        with opened() as connection:
            set_to = {
                name: connection.execute(text(f"PRAGMA {name}")).scalar_one() for name in SETTINGS
            }
        assert set_to == SETTINGS


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_a_lock_file_lies_beside_the_database(store: Store, tmp_path: Path) -> None:
    with store.write():
        pass

    assert (tmp_path / "soakbell.db.lock").exists()
    assert store.version.startswith("SQLite 3.")


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_while_one_process_writes_another_waits_in_line(store: Store, tmp_path: Path) -> None:
    lock = tmp_path / "soakbell.db.lock"

    with store.write(), lock.open() as another, pytest.raises(BlockingIOError):
        fcntl.flock(another, fcntl.LOCK_EX | fcntl.LOCK_NB)

    with lock.open() as another:
        fcntl.flock(another, fcntl.LOCK_EX | fcntl.LOCK_NB)


@pytest.mark.parametrize("url", ["mysql://localhost/x", "sqlite://", "sqlite:///:memory:"])
def test_other_databases_are_refused_by_name(url: str) -> None:
    with pytest.raises(StoreUnknown, match=r"sqlite:///path/to/soakbell\.db or postgresql://"):
        open_store(url)


def test_times_come_back_as_they_went_in_whatever_their_zone(store: Store) -> None:
    there = timezone(timedelta(hours=5, minutes=45))
    store.open_chain("hill")
    moment = datetime(2026, 3, 2, 14, 45, 0, 123456, tzinfo=there)

    with store.write() as connection:
        row = {"site": "hill", "id": "b", "place": 1, "due_at": moment, "body": "{}"}
        connection.execute(bell.insert(), [row])
        back = connection.execute(select(bell.c.due_at)).scalar_one()

    assert back == moment
    assert back.utcoffset() == timedelta(0)


def test_a_time_without_a_zone_is_refused(store: Store) -> None:
    with pytest.raises(StatementError, match="has no time zone"), store.read() as connection:
        connection.execute(select(bell.c.id).where(bell.c.due_at < NINE.replace(tzinfo=None)))


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_postgresql_store_tells_the_database_s_own_time(store: Store) -> None:
    first, second = store.now(), store.now()

    assert first < second
    assert first.utcoffset() == timedelta(0)


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_report_sees_one_moment(store: Store) -> None:
    write(store, morning()[:1])

    with store.read() as connection:
        count = text("SELECT count(*) FROM entry")
        before = connection.execute(count).scalar_one()
        write(store, morning()[1:])
        after = connection.execute(count).scalar_one()

    assert (before, after) == (1, 1)

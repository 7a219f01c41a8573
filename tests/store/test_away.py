"""A line that breaks, a server that goes: done once or not at all, and said."""

from typing import Any

import pytest
from sqlalchemy import event, make_url, text

from bot.record.append import append
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.engine import open_store
from bot.store.errors import StoreAway, StoreBusy
from bot.store.exchange import run_exchange
from bot.store.transaction import Store, Unit
from flows.parts.events import DeviceEnrolled, Stamped
from tests.kit.database import Postgresql
from tests.kit.record import NINE, SITE

pytestmark = pytest.mark.parametrize("database", ["postgresql"], indirect=True)


def enrol(unit: Unit) -> str:
    append(unit, [Stamped(DeviceEnrolled("V1", "endo"), NINE)])
    return "enrolled"


def pid(connection: Any) -> int:
    found: int = connection.execute(text("SELECT pg_backend_pid()")).scalar_one()
    return found


def devices(store: Store) -> list[str]:
    """What the record holds, once it has been found whole."""
    with store.read() as connection:
        assert verify(connection, SITE) == []
        bodies = connection.execute(text("SELECT kind FROM entry ORDER BY seq")).scalars().all()
    assert rebuild(store, SITE) == []
    return [*bodies]


def test_lines_cut_between_two_exchanges_are_not_noticed(
    store: Store, database: str, postgresql: Postgresql
) -> None:
    store.open_chain(SITE)
    with store.read():
        pass

    postgresql.cut_lines(database)

    assert run_exchange(store, SITE, enrol) == "enrolled"
    assert devices(store) == ["DeviceEnrolled"]
    assert store.now() > NINE


def test_an_exchange_whose_line_breaks_is_done_again_from_its_beginning(
    store: Store, database: str, postgresql: Postgresql
) -> None:
    store.open_chain(SITE)
    tries: list[int] = []

    def loses_its_line_once(unit: Unit) -> str:
        tries.append(pid(unit.connection))
        said = enrol(unit)
        if len(tries) == 1:
            postgresql.cut_lines(database)
            unit.connection.execute(text("SELECT 1"))
        return said

    assert run_exchange(store, SITE, loses_its_line_once) == "enrolled"

    assert len({*tries}) == 2
    assert devices(store) == ["DeviceEnrolled"]


@pytest.mark.parametrize("was_one", [True, False], ids=["committed", "not committed"])
def test_a_line_that_breaks_at_the_commit_leaves_one_of_it(
    store: Store, database: str, postgresql: Postgresql, *, was_one: bool
) -> None:
    """Whether the server had it already is not for us to know, and for the chain to say."""
    store.open_chain(SITE)
    commits, tries = [], []

    def breaks(connection: Any) -> None:
        commits.append(1)
        if len(commits) == 1:
            if was_one:
                connection.connection.driver_connection.commit()
            postgresql.cut_lines(database)
            connection.exec_driver_sql("SELECT 1")

    def counted(unit: Unit) -> str:
        tries.append(1)
        return enrol(unit)

    event.listen(store.writing, "commit", breaks)
    said = run_exchange(store, SITE, counted)

    assert said == "enrolled"
    assert len(tries) == (1 if was_one else 2)
    assert devices(store) == ["DeviceEnrolled"]


def test_a_line_that_breaks_again_and_again_is_said_and_nothing_is_written(
    store: Store, database: str, postgresql: Postgresql
) -> None:
    store.open_chain(SITE)

    def always_loses_its_line(unit: Unit) -> None:
        enrol(unit)
        postgresql.cut_lines(database)
        unit.connection.execute(text("SELECT 1"))

    with pytest.raises(StoreAway, match="terminating connection due to admin"):
        run_exchange(store, SITE, always_loses_its_line)

    assert devices(store) == []


def test_a_database_that_is_not_there_is_said_with_the_reason_and_without_the_password(
    postgresql: Postgresql, database: str
) -> None:
    del database
    address = make_url(postgresql.address("no_such_database")).set(password="hidden")  # noqa: S106
    nowhere = open_store(address.render_as_string(hide_password=False))

    for asks in (nowhere.now, lambda: run_exchange(nowhere, SITE, enrol)):
        with pytest.raises(StoreAway, match='database "no_such_database" does not exist') as away:
            asks()
        assert "hidden" not in str(away.value)
        assert "\n" not in str(away.value)
    nowhere.close()


def test_whoever_stands_still_with_a_site_in_his_hands_is_not_waited_for_for_ever(
    store: Store, database: str
) -> None:
    store.open_chain(SITE)
    frozen = open_store(database)
    for opened, name, span in (
        (store, "lock_timeout", "20ms"),
        (frozen, "idle_in_transaction_session_timeout", "400ms"),
    ):
        assert _set_to(opened, name) in {"5s", "1min"}
        _shorten(opened, name, span)

    def stands_still(unit: Unit) -> None:
        with pytest.raises(StoreBusy):
            run_exchange(store, SITE, enrol)
        _shorten(store, "lock_timeout", "20s")
        assert run_exchange(store, SITE, enrol) == "enrolled"
        unit.connection.execute(text("SELECT 1"))

    with pytest.raises(StoreAway), frozen.exchange(SITE) as held:
        stands_still(held)

    assert devices(store) == ["DeviceEnrolled"]
    frozen.close()


def _set_to(store: Store, name: str) -> str:
    with store.write() as connection:
        said: str = connection.execute(text(f"SHOW {name}")).scalar_one()
    return said


def _shorten(store: Store, name: str, span: str) -> None:
    """On every connection from now on."""

    def on_begin(connection: Any) -> None:
        connection.exec_driver_sql(f"SET {name} = '{span}'")

    event.listen(store.writing, "begin", on_begin)

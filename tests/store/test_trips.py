"""What goes to the database in one trip is refused, or breaks, as it would by itself."""

from collections.abc import Callable

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from bot.record.append import append
from bot.store.errors import StoreAway
from bot.store.exchange import run_exchange
from bot.store.transaction import Store, Unit
from bot.store.trips import in_one_trip
from flows.parts.events import DeviceEnrolled, Stamped
from tests.kit.record import NINE, SITE

postgresql_only = pytest.mark.parametrize("database", ["postgresql"], indirect=True)

CLASH = "DO $$BEGIN RAISE EXCEPTION 'clash' USING ERRCODE = '40001'; END$$"
BREAK = "DO $$BEGIN PERFORM pg_terminate_backend(pg_backend_pid()); END$$"


def first_time(sql: str, tries: list[int]) -> Callable[[Unit], str]:
    """An exchange that enrols a device in one trip, and the first time meets *sql* on it."""

    def work(unit: Unit) -> str:
        tries.append(unit.seq)
        with in_one_trip(unit.connection):
            if len(tries) == 1:
                unit.connection.execute(text(sql))
            append(unit, [Stamped(DeviceEnrolled(f"V{len(tries)}", "endo"), NINE)])
        return "enrolled"

    return work


def devices(store: Store) -> list[str]:
    with store.exchange(SITE) as unit:
        return [*unit.clinic.devices]


def test_all_that_is_written_on_the_trip_is_there_at_its_end(store: Store) -> None:
    store.open_chain(SITE)

    with store.exchange(SITE) as unit:
        with in_one_trip(unit.connection):
            append(unit, [Stamped(DeviceEnrolled("V1", "endo"), NINE)])
            append(unit, [Stamped(DeviceEnrolled("V2", "endo"), NINE)])
        count = text("SELECT count(*) FROM entry")
        assert unit.connection.execute(count).scalar_one() == 2

    assert devices(store) == ["V1", "V2"]


def test_a_refusal_is_the_same_error_and_nothing_is_written(store: Store) -> None:
    store.open_chain(SITE)

    def changes_an_entry(unit: Unit) -> None:
        with in_one_trip(unit.connection):
            append(unit, [Stamped(DeviceEnrolled("V1", "endo"), NINE)])
            unit.connection.execute(text("UPDATE entry SET seq = 7"))

    with pytest.raises(DBAPIError):
        run_exchange(store, SITE, changes_an_entry)

    assert devices(store) == []


@postgresql_only
def test_others_in_the_way_are_found_at_the_end_and_all_is_done_again(store: Store) -> None:
    store.open_chain(SITE)
    tries: list[int] = []

    assert run_exchange(store, SITE, first_time(CLASH, tries)) == "enrolled"

    assert tries == [0, 0]
    assert devices(store) == ["V2"]


@postgresql_only
def test_a_line_that_breaks_on_the_trip_is_replaced_and_all_is_done_again(store: Store) -> None:
    store.open_chain(SITE)
    tries: list[int] = []

    assert run_exchange(store, SITE, first_time(BREAK, tries)) == "enrolled"

    assert tries == [0, 0]
    assert devices(store) == ["V2"]


@postgresql_only
def test_a_line_that_breaks_on_every_trip_is_said(store: Store) -> None:
    store.open_chain(SITE)

    def breaks(unit: Unit) -> None:
        with in_one_trip(unit.connection):
            unit.connection.execute(text(BREAK))

    with pytest.raises(StoreAway, match="cannot be reached"):
        run_exchange(store, SITE, breaks)

    assert devices(store) == []


@postgresql_only
def test_a_fault_of_ours_on_the_trip_is_told_as_it_is(store: Store) -> None:
    store.open_chain(SITE)

    def fails(unit: Unit) -> None:
        with in_one_trip(unit.connection):
            append(unit, [Stamped(DeviceEnrolled("V1", "endo"), NINE)])
            raise ValueError("poison")

    with pytest.raises(ValueError, match="poison"):
        run_exchange(store, SITE, fails)

    assert devices(store) == []

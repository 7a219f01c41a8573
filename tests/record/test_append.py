"""What is appended is there as a whole, with what it makes true; or it is not there at all."""

import pytest
from sqlalchemy import text

from bot.record.append import append
from bot.record.entry import EntryUnreadable
from bot.record.read import all_entries, history, of_kind
from bot.store.exchange import run_exchange
from bot.store.live import load
from bot.store.transaction import Store, Unit
from flows.parts.clinic import Clinic
from flows.parts.events import DeviceEnrolled, SiteOpened, Stamped, StepDone
from flows.parts.state import fold_all
from tests.kit.record import NINE, SITE, morning, write


def clinic_of(store: Store) -> Clinic:
    with store.read() as connection:
        return load(connection, SITE).clinic


def test_rows_say_what_the_entries_make_true(store: Store) -> None:
    write(store, morning())

    assert clinic_of(store) == fold_all(Clinic(), morning())


def test_it_makes_no_difference_how_entries_are_shared_out_among_exchanges(store: Store) -> None:
    for stamped in morning():
        write(store, [stamped])

    clinic = clinic_of(store)

    assert clinic == fold_all(Clinic(), morning())
    assert [*clinic.phones] == ["f2", "f1"]


def test_two_appends_in_one_exchange_follow_each_other(store: Store) -> None:
    store.open_chain(SITE)

    with store.exchange(SITE) as unit:
        append(unit, morning()[:3])
        append(unit, morning()[3:])

    assert clinic_of(store) == fold_all(Clinic(), morning())


def test_nothing_appended_writes_nothing(store: Store) -> None:
    write(store, [])

    with store.read() as connection:
        assert list(all_entries(connection, SITE)) == []


def test_an_exchange_that_fails_leaves_no_trace(store: Store) -> None:
    write(store, morning()[:3])
    before = clinic_of(store)

    def fails(unit: Unit) -> None:
        append(unit, morning()[3:])
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        run_exchange(store, SITE, fails)

    with store.read() as connection:
        assert len(list(all_entries(connection, SITE))) == 3
        assert connection.execute(text("SELECT seq FROM site")).scalar_one() == 3
    assert clinic_of(store) == before


def test_what_could_not_be_read_again_is_not_written(store: Store) -> None:
    store.open_chain(SITE)
    wrong = StepDone("c1", "V1", what=["rinse"])  # type: ignore[arg-type]

    with pytest.raises(TypeError), store.exchange(SITE) as unit:
        append(unit, [Stamped(wrong, NINE)])

    with store.read() as connection:
        assert list(all_entries(connection, SITE)) == []


def test_a_time_without_a_zone_is_not_written(store: Store) -> None:
    store.open_chain(SITE)
    naive = NINE.replace(tzinfo=None)

    with pytest.raises(ValueError, match="no time zone"), store.exchange(SITE) as unit:
        append(unit, [Stamped(DeviceEnrolled("V1", "endo"), naive)])


def test_history_is_all_of_one_cycle_oldest_first(store: Store) -> None:
    write(store, morning())

    with store.read() as connection:
        told = history(connection, SITE, "c1")

    assert told == tuple(each for each in morning() if getattr(each.event, "cycle", "") == "c1")
    assert len(told) == 7


def test_entries_are_found_by_kind(store: Store) -> None:
    write(store, morning())

    with store.read() as connection:
        by_kind = [entry.stamped.event for entry in of_kind(connection, SITE, "SiteOpened")]

    assert by_kind == [SiteOpened(SITE, "Etc/GMT-3", "17:00", "en", "dmy")]


def test_an_entry_that_cannot_be_read_stops_the_reading(store: Store) -> None:
    write(store, morning()[:1])
    with store.write() as connection:
        connection.execute(
            text(
                "INSERT INTO entry (site, seq, at, kind, body, prev, hash) "
                "SELECT site, 2, at, kind, '{}', hash, hash FROM entry"
            )
        )

    with store.read() as connection, pytest.raises(EntryUnreadable):
        list(all_entries(connection, SITE))

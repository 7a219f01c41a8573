"""Which cycle somebody means: by id, by code as typed, by device."""

import pytest

from bot.reports.cycles import cycles, find_cycle
from bot.reports.timeline import CycleUnknown, timeline
from bot.store.transaction import Store
from flows.parts.clinic import Level
from flows.parts.events import CycleBegan, Stamped
from tests.kit.played import SITE, one_cycle, written
from tests.kit.record import NINE, SET_UP, write

IDS = ("ab1", "ab2", "ab")


@pytest.fixture
def played(store: Store) -> Store:
    talk = one_cycle()
    talk.sends("CLEAN V1", after=60)
    written(store, talk)
    return store


def test_cycles_are_listed_as_they_began_with_how_they_ended(played: Store) -> None:
    with played.read() as connection:
        first, second = cycles(connection, SITE)

    assert (first.outcome, second.outcome) == ("released", "open")
    assert first.code.startswith("V1-")
    assert (second.code, second.until) == ("", None)
    assert (first.device, first.person) == ("V1", "p1")


def test_a_cycle_is_found_by_id_by_its_beginning_and_by_its_code_as_typed(played: Store) -> None:
    with played.read() as connection:
        first, second = cycles(connection, SITE)
        sloppy = first.code.lower().replace("-", " ")

        found = [find_cycle(connection, SITE, named) for named in (first.cycle, first.cycle[:6])]
        by_code = [find_cycle(connection, SITE, named) for named in (first.code, sloppy)]
        assert [*found, *by_code] == [first.cycle] * 4
        assert find_cycle(connection, SITE, "v1") == second.cycle


@pytest.mark.parametrize("named", ["", "V9", "V1-0000", "zz"])
def test_what_fits_no_cycle_or_more_than_one_is_refused(played: Store, named: str) -> None:
    with played.read() as connection, pytest.raises(CycleUnknown, match="holds no cycle"):
        find_cycle(connection, SITE, named)


def test_a_beginning_that_fits_two_names_neither(store: Store) -> None:
    begun = [CycleBegan(each, "V1", Level.COACH, "{}", "0", for_repair=False) for each in IDS]
    write(store, [Stamped(event, NINE) for event in (*SET_UP, *begun)])

    with store.read() as connection:
        assert find_cycle(connection, "hill", "ab2") == "ab2"
        assert find_cycle(connection, "hill", "ab") == "ab"
        with pytest.raises(CycleUnknown, match="no cycle a"):
            find_cycle(connection, "hill", "a")


def test_a_timeline_of_no_cycle_is_refused(played: Store) -> None:
    with played.read() as connection, pytest.raises(CycleUnknown, match="no cycle nothing"):
        timeline(connection, SITE, "nothing")

"""A bell is a row: claimed once, leased, fenced by its attempt, never given up."""

from threading import Barrier, Thread

import pytest
from sqlalchemy import text

from bot.store.engine import open_store
from bot.store.transaction import Store
from bot.timers import Claimed, claim, is_still_claimed, next_due, put_off
from flows.parts.events import BellRang, BellSet, Stamped
from tests.kit.record import MINUTE, NINE, SITE, write


def ring_at(store: Store, **bells: int) -> None:
    """Set bells by name, due so many minutes after nine."""
    write(
        store,
        [
            Stamped(BellSet(name, "nightly", NINE + minutes * MINUTE), NINE)
            for name, minutes in bells.items()
        ],
    )


def names(claimed: tuple[Claimed, ...]) -> list[str]:
    return [each.bell for each in claimed]


def test_only_what_is_due_is_claimed_the_longest_due_first(store: Store) -> None:
    ring_at(store, late=2, early=1, later=4, due=3)

    claimed = claim(store, NINE + 3 * MINUTE, 10, MINUTE)

    assert claimed == (
        Claimed(SITE, "early", NINE + MINUTE, 1),
        Claimed(SITE, "late", NINE + 2 * MINUTE, 1),
        Claimed(SITE, "due", NINE + 3 * MINUTE, 1),
    )


def test_no_more_than_asked_for_are_claimed(store: Store) -> None:
    ring_at(store, a=1, b=2, c=3)

    assert names(claim(store, NINE + 9 * MINUTE, 2, MINUTE)) == ["a", "b"]
    assert names(claim(store, NINE + 9 * MINUTE, 2, MINUTE)) == ["c"]


def test_a_claimed_bell_is_nobody_else_s_until_the_lease_ends_and_then_it_is(
    store: Store,
) -> None:
    ring_at(store, a=0)
    claim(store, NINE, 1, 2 * MINUTE)

    during = claim(store, NINE + 2 * MINUTE - MINUTE / 60, 1, MINUTE)
    after = claim(store, NINE + 2 * MINUTE, 1, MINUTE)

    assert during == ()
    assert after == (Claimed(SITE, "a", NINE, 2),)


def test_a_bell_is_never_given_up(store: Store) -> None:
    ring_at(store, a=0)

    attempts = [claim(store, NINE + n * MINUTE, 1, MINUTE)[0].attempt for n in range(30)]

    assert attempts == list(range(1, 31))


def test_a_bell_that_has_rung_is_gone(store: Store) -> None:
    ring_at(store, a=0)
    claim(store, NINE, 1, MINUTE)

    write(store, [Stamped(BellRang("a", "nightly", late=MINUTE), NINE)])

    assert claim(store, NINE + 60 * MINUTE, 1, MINUTE) == ()
    assert next_due(store) is None


def test_the_next_due_is_the_earliest_that_nobody_has_claimed(store: Store) -> None:
    ring_at(store, a=1, b=2)
    first = next_due(store)

    claim(store, NINE + MINUTE, 1, MINUTE)

    assert first == NINE + MINUTE
    assert next_due(store) == NINE + 2 * MINUTE


def test_a_claim_stands_until_another_takes_its_place(store: Store) -> None:
    ring_at(store, a=0)
    (old,) = claim(store, NINE, 1, MINUTE)
    with store.read() as connection:
        while_it_lasts = is_still_claimed(connection, old)

    (new,) = claim(store, NINE + MINUTE, 1, MINUTE)

    with store.read() as connection:
        assert while_it_lasts
        assert not is_still_claimed(connection, old)
        assert is_still_claimed(connection, new)


def test_a_claim_falls_with_a_change_of_time(store: Store) -> None:
    ring_at(store, a=0)
    (claimed,) = claim(store, NINE, 1, MINUTE)

    ring_at(store, a=1)

    with store.read() as connection:
        assert not is_still_claimed(connection, claimed)


def test_a_bell_that_could_not_be_rung_is_put_off(store: Store) -> None:
    ring_at(store, a=0)
    (claimed,) = claim(store, NINE, 1, MINUTE)

    with store.write() as connection:
        put_off(connection, claimed, NINE + 5 * MINUTE)

    assert claim(store, NINE + 4 * MINUTE, 1, MINUTE) == ()
    assert names(claim(store, NINE + 5 * MINUTE, 1, MINUTE)) == ["a"]


def test_an_old_claim_puts_nothing_off(store: Store) -> None:
    ring_at(store, a=0)
    (old,) = claim(store, NINE, 1, MINUTE)
    claim(store, NINE + MINUTE, 1, MINUTE)

    with store.write() as connection:
        put_off(connection, old, NINE + 60 * MINUTE)

    assert names(claim(store, NINE + 2 * MINUTE, 1, MINUTE)) == ["a"]


def test_claimers_at_once_share_the_bells_and_none_twice(database: str) -> None:
    store = open_store(database)
    ring_at(store, **{f"b{number}": 0 for number in range(40)})
    stores = [open_store(database) for _ in range(4)]
    together, got = Barrier(4), [[""]] * 4

    def take(number: int) -> None:
        together.wait()
        mine: list[str] = []
        while claimed := claim(stores[number], NINE, 3, MINUTE):
            mine += names(claimed)
        got[number] = mine

    threads = [Thread(target=take, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)

    taken = sorted(name for mine in got for name in mine)
    assert taken == sorted(f"b{number}" for number in range(40))
    for opened in (*stores, store):
        opened.close()


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_bell_that_somebody_holds_is_stepped_over(store: Store) -> None:
    ring_at(store, a=0, b=1)

    with store.write() as holding:
        holding.execute(text("SELECT id FROM bell WHERE id = 'a' FOR UPDATE"))
        claimed = claim(store, NINE + 9 * MINUTE, 5, MINUTE)

    assert names(claimed) == ["b"]

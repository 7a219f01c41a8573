"""Whatever is altered in a record, verify finds it and names where."""

import pytest
from sqlalchemy import Connection, text

from bot.record.chain import verify, verify_all
from bot.record.link import link
from bot.record.seal import PROGRAMME, seal, sealed_heads
from bot.store.errors import SiteUnknown
from bot.store.transaction import GENESIS, Store
from flows.parts.events import Sealed
from tests.kit.record import NINE, SITE, guards_down, morning, write

AT = {"sqlite": "2026-03-02 09:59:00.000000", "postgresql": "2026-03-02 09:59:00+00"}


def said(store: Store, site: str = SITE) -> list[str]:
    with store.read() as connection:
        return [str(problem) for problem in verify(connection, site)]


def tamper(store: Store, *statements: str) -> None:
    with guards_down(store) as connection:
        for statement in statements:
            connection.execute(text(statement))


def test_a_record_as_written_has_no_problem(store: Store) -> None:
    write(store, morning())

    assert said(store) == []


def test_each_entry_holds_on_to_the_one_before_it(store: Store) -> None:
    write(store, morning())

    with store.read() as connection:
        rows = connection.execute(text("SELECT prev, body, hash FROM entry ORDER BY seq")).all()
        head = connection.execute(text("SELECT seq, head FROM site")).one()
    prev = GENESIS
    for row in rows:
        assert row.prev == prev
        prev = link(prev, row.body)
        assert row.hash == prev
    assert tuple(head) == (len(rows), prev)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("kind", "'TakenOut'"),
        ("cycle", "'c9'"),
        ("cycle", "NULL"),
        ("device", "'V2'"),
        ("person", "'p9'"),
        ("person", "NULL"),
        ("phone", "'f9'"),
        ("cause", "'SM9'"),
    ],
)
def test_a_column_that_says_otherwise_than_its_body_is_named(
    store: Store, column: str, value: str
) -> None:
    write(store, morning())

    tamper(store, f"UPDATE entry SET {column} = {value} WHERE seq = 11")  # noqa: S608

    (problem,) = said(store)
    assert problem.startswith(f"hill, entry 11: column {column} says ")


def test_a_time_that_says_otherwise_than_its_body_is_named(store: Store) -> None:
    write(store, morning())

    tamper(store, f"UPDATE entry SET at = '{AT[store.writing.dialect.name]}' WHERE seq = 11")  # noqa: S608

    (problem,) = said(store)
    assert problem.startswith("hill, entry 11: column at says 2026-03-02 09:59:00+00:00")


def test_a_changed_body_is_named_at_its_own_entry(store: Store) -> None:
    write(store, morning())

    tamper(store, "UPDATE entry SET body = replace(body, '21.5', '20.5')")

    assert said(store) == [
        "hill, entry 15: the chain breaks here: its hash is not that of its body"
    ]


def test_a_changed_body_with_its_own_new_hash_is_named_at_the_next_entry(store: Store) -> None:
    write(store, morning())
    with store.read() as connection:
        wanted = text("SELECT prev, body FROM entry WHERE seq = 15")
        row = connection.execute(wanted).one()
    body = row.body.replace("21.5", "20.5")

    with guards_down(store) as connection:
        connection.execute(
            text("UPDATE entry SET body = :body, hash = :hash WHERE seq = 15"),
            {"body": body, "hash": link(row.prev, body)},
        )

    assert said(store) == [
        "hill, entry 16: the chain breaks here: it does not follow from entry 15"
    ]


def test_a_changed_hash_breaks_the_chain_where_it_stands(store: Store) -> None:
    write(store, morning())

    tamper(store, f"UPDATE entry SET hash = '{'f' * 64}' WHERE seq = 4")  # noqa: S608

    assert said(store) == [
        "hill, entry 4: the chain breaks here: its hash is not that of its body"
    ]


def test_a_changed_link_breaks_the_chain_where_it_stands(store: Store) -> None:
    write(store, morning())

    tamper(store, f"UPDATE entry SET prev = '{'f' * 64}' WHERE seq = 4")  # noqa: S608

    assert said(store) == ["hill, entry 4: the chain breaks here: it does not follow from entry 3"]


def test_a_missing_entry_leaves_a_gap(store: Store) -> None:
    write(store, morning())

    tamper(store, "DELETE FROM entry WHERE seq = 4")

    assert said(store) == ["hill, entry 5: the chain breaks here: it comes after entry 3"]


def test_the_first_entry_missing_is_a_gap_too(store: Store) -> None:
    write(store, morning())

    tamper(store, "DELETE FROM entry WHERE seq = 1")

    assert said(store) == ["hill, entry 2: the chain breaks here: it comes after entry 0"]


def test_an_entry_moved_to_another_place_is_named(store: Store) -> None:
    write(store, morning())

    tamper(store, "UPDATE entry SET seq = 99 WHERE seq = 16")

    first, second, third = said(store)
    assert first == "hill, entry 99: the chain breaks here: it comes after entry 15"
    assert second == "hill, entry 99: column seq says 99, the body 16"
    assert third.startswith("hill: the head says entry 16")


def test_an_entry_put_into_another_chain_is_named(store: Store) -> None:
    write(store, morning())
    store.open_chain("vale")

    tamper(store, "UPDATE entry SET site = 'vale' WHERE seq = 1")

    assert "vale, entry 1: column site says vale, the body hill" in said(store, "vale")


def test_a_tail_cut_off_shows_at_the_head(store: Store) -> None:
    write(store, morning())

    tamper(store, "DELETE FROM entry WHERE seq > 14")

    (problem,) = said(store)
    assert problem.startswith("hill: the head says entry 16")


def test_a_tail_cut_off_with_the_head_set_back_shows_at_the_seal(store: Store) -> None:
    write(store, morning())
    seal(store, NINE)

    tamper(
        store,
        "DELETE FROM entry WHERE site = 'hill' AND seq > 14",
        "UPDATE site SET seq = 14, head = (SELECT hash FROM entry WHERE seq = 14) "
        "WHERE id = 'hill'",
    )

    assert said(store) == [
        "hill: the programme's entry 1 sealed a head that this chain no longer holds"
    ]


def test_a_missing_guard_is_a_problem(store: Store) -> None:
    write(store, morning())
    names = {"sqlite": ("entry_no_delete", ""), "postgresql": ("entry_no_change", " ON entry")}
    name, where = names[store.writing.dialect.name]

    with store.write() as connection:
        connection.execute(text(f"DROP TRIGGER {name}{where}"))

    assert said(store) == [f"hill: guard {name} is missing"]


def test_a_body_that_is_no_entry_is_named(store: Store) -> None:
    write(store, morning())

    tamper(store, "UPDATE entry SET body = '{}' WHERE seq = 16")

    assert said(store)[1] == "hill, entry 16: KeyError: 'v'"


def test_a_body_written_another_way_is_named_even_where_the_chain_holds(store: Store) -> None:
    write(store, morning())
    with guards_down(store) as connection:
        rewrite_last(connection)

    assert said(store) == ["hill, entry 16: its body is not canonical"]


def rewrite_last(connection: Connection) -> None:
    row = connection.execute(text("SELECT prev, body FROM entry WHERE seq = 16")).one()
    spaced = row.body.replace('"v":1', '"v": 1')
    new = {"body": spaced, "hash": link(row.prev, spaced)}
    connection.execute(text("UPDATE entry SET body = :body, hash = :hash WHERE seq = 16"), new)
    connection.execute(text("UPDATE site SET head = :hash"), new)


def test_a_chain_nobody_opened_is_not_well_but_unknown(store: Store) -> None:
    with store.read() as connection, pytest.raises(SiteUnknown, match="no site nowhere"):
        verify(connection, "nowhere")


def test_a_seal_takes_in_the_heads_of_all_chains_that_have_begun(store: Store) -> None:
    write(store, morning())
    write(store, morning()[:3], "vale")
    store.open_chain("moor")

    seal(store, NINE)
    sealed = seal(store, NINE)

    with store.read() as connection:
        heads = dict(connection.execute(text("SELECT id, head FROM site")).all())
        assert sealed == Sealed({"hill": heads["hill"], "vale": heads["vale"]})
        assert list(sealed_heads(connection, "hill")) == [(1, heads["hill"]), (2, heads["hill"])]
        assert verify_all(connection) == []
        assert verify(connection, PROGRAMME) == []


def test_a_seal_that_cannot_be_read_is_named(store: Store) -> None:
    write(store, morning())
    seal(store, NINE)

    tamper(store, "UPDATE entry SET body = '{}' WHERE site = 'programme'")

    (problem,) = said(store)
    assert problem.startswith("programme: its seals cannot be read: KeyError")

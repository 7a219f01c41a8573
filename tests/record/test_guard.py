"""S15: entries are never changed or removed, by whatever statement."""

from collections.abc import Callable

import pytest
from sqlalchemy import Connection, create_engine, text
from sqlalchemy.exc import DatabaseError

from bot.record.guard import missing_guards
from bot.store.tables.guards import POSTGRESQL_GUARDS, REFUSAL, SQLITE_GUARDS
from bot.store.transaction import Store
from tests.kit.record import morning, write

COLUMNS = "site, seq, at, kind, body, prev, hash"
SAME = f"SELECT {COLUMNS} FROM entry WHERE seq = 2"  # noqa: S608

ON_BOTH = {
    "update": "UPDATE entry SET person = 'p9' WHERE seq = 2",
    "update of nothing": "UPDATE entry SET person = person",
    "delete": "DELETE FROM entry WHERE seq = 2",
    "delete all": "DELETE FROM entry",
    "upsert": (
        f"INSERT INTO entry ({COLUMNS}) SELECT {COLUMNS} FROM entry WHERE seq = 2 "  # noqa: S608
        "ON CONFLICT (site, seq) DO UPDATE SET kind = 'StepDone'"
    ),
}
ON_SQLITE = {
    "insert or replace": f"INSERT OR REPLACE INTO entry ({COLUMNS}) {SAME}",
    "replace": f"REPLACE INTO entry ({COLUMNS}) {SAME}",
    "update or replace": "UPDATE OR REPLACE entry SET seq = 1 WHERE seq = 2",
}
ON_POSTGRESQL = {
    "truncate": "TRUNCATE entry",
    "truncate with its site": "TRUNCATE site CASCADE",
    "as a replica": "SET LOCAL session_replication_role = replica; DELETE FROM entry",
    "merge": (
        "MERGE INTO entry USING (SELECT 2 AS n) s ON entry.seq = s.n "
        "WHEN MATCHED THEN UPDATE SET person = 'p9'"
    ),
}


def bodies(store: Store) -> list[str]:
    with store.read() as connection:
        return list(connection.execute(text("SELECT body FROM entry ORDER BY seq")).scalars())


def try_all(store: Store, statements: dict[str, str]) -> dict[str, str]:
    """What the database said to each statement, and whether the entries stayed as they were."""
    before, said = bodies(store), {}
    for name, statement in statements.items():
        with pytest.raises(DatabaseError) as refused, store.write() as connection:
            connection.execute(text(statement))
        said[name] = "refused" if REFUSAL in str(refused.value.orig) else str(refused.value.orig)
    assert bodies(store) == before
    return said


def test_S15_no_statement_changes_or_removes_an_entry(store: Store) -> None:
    write(store, morning())
    own = ON_SQLITE if store.writing.dialect.name == "sqlite" else ON_POSTGRESQL
    statements = ON_BOTH | own

    said = try_all(store, statements)

    assert said == dict.fromkeys(statements, "refused")


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_S15_a_stranger_connection_without_our_settings_cannot_replace_an_entry(
    store: Store, database: str
) -> None:
    write(store, morning())
    before = bodies(store)
    stranger = create_engine(database)

    with pytest.raises(DatabaseError, match=REFUSAL), stranger.begin() as connection:
        connection.execute(text(ON_SQLITE["insert or replace"]))
    stranger.dispose()

    assert bodies(store) == before


def drop(name: str) -> Callable[[Connection], None]:
    def run(connection: Connection) -> None:
        where = "" if connection.dialect.name == "sqlite" else " ON entry"
        connection.execute(text(f"DROP TRIGGER {name}{where}"))

    return run


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
@pytest.mark.parametrize("name", SQLITE_GUARDS)
def test_a_guard_that_is_gone_is_missed(store: Store, name: str) -> None:
    with store.write() as connection:
        drop(name)(connection)

        assert missing_guards(connection) == (name,)


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_a_guard_that_guards_nothing_is_missed(store: Store) -> None:
    with store.write() as connection:
        drop("entry_no_update")(connection)
        connection.execute(
            text("CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT 1; END")
        )

        assert missing_guards(connection) == ("entry_no_update",)


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_a_connection_that_lets_replace_slip_by_is_missed(database: str) -> None:
    stranger = create_engine(database)
    with stranger.connect() as connection:
        assert missing_guards(connection) == ("recursive_triggers",)
    stranger.dispose()


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
@pytest.mark.parametrize("name", POSTGRESQL_GUARDS)
@pytest.mark.parametrize(
    "weakening",
    [
        "DROP TRIGGER {name} ON entry",
        "ALTER TABLE entry DISABLE TRIGGER {name}",
        "ALTER TABLE entry ENABLE TRIGGER {name}",
    ],
)
def test_a_guard_that_is_gone_or_off_is_missed(store: Store, name: str, weakening: str) -> None:
    with store.write() as connection:
        connection.execute(text(weakening.format(name=name)))

        assert missing_guards(connection) == (name,)


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
@pytest.mark.parametrize(
    ("weakening", "missed"),
    [
        (
            (
                "CREATE OR REPLACE FUNCTION entry_refuse() RETURNS trigger LANGUAGE plpgsql "
                "AS $$BEGIN RETURN NEW; END$$"
            ),
            tuple(POSTGRESQL_GUARDS),
        ),
        (
            (
                "CREATE OR REPLACE TRIGGER entry_no_change BEFORE UPDATE OF person OR DELETE "
                "ON entry FOR EACH ROW EXECUTE FUNCTION entry_refuse()"
            ),
            ("entry_no_change",),
        ),
        (
            (
                "CREATE OR REPLACE TRIGGER entry_no_change BEFORE UPDATE OR DELETE ON entry "
                "FOR EACH ROW WHEN (OLD.seq > 9) EXECUTE FUNCTION entry_refuse()"
            ),
            ("entry_no_change",),
        ),
    ],
    ids=["function", "one column", "condition"],
)
def test_a_weakened_guard_is_missed(store: Store, weakening: str, missed: tuple[str, ...]) -> None:
    with store.write() as connection:
        connection.execute(text(weakening))
        for name in missed:
            connection.execute(text(f"ALTER TABLE entry ENABLE ALWAYS TRIGGER {name}"))

        assert missing_guards(connection) == missed

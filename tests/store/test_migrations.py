"""The tables that migrations make are the tables that the code knows."""

import re
from pathlib import Path

import pytest
from sqlalchemy import inspect, text

import bot.store.migrations.versions
from bot.record.guard import missing_guards
from bot.store.engine import open_store
from bot.store.migrate import expect_tables_as_known, migrate
from bot.store.tables import metadata


def test_migrating_an_empty_database_makes_the_tables_the_code_knows(bare_database: str) -> None:
    store = open_store(bare_database)

    migrate(store)

    expect_tables_as_known(store)
    assert {*inspect(store.reading).get_table_names()} == {*metadata.tables, "alembic_version"}
    store.close()


def test_migrating_sets_the_guards(bare_database: str) -> None:
    store = open_store(bare_database)

    migrate(store)

    with store.read() as connection:
        assert missing_guards(connection) == ()
    store.close()


def test_migrating_twice_changes_nothing(database: str) -> None:
    store = open_store(database)

    migrate(store)

    expect_tables_as_known(store)
    store.close()


def test_a_column_that_no_migration_made_is_found(database: str) -> None:
    store = open_store(database)
    with store.write() as connection:
        connection.execute(text("ALTER TABLE live ADD COLUMN extra TEXT"))

    with pytest.raises(Exception, match="extra"):
        expect_tables_as_known(store)
    store.close()


def test_S15_no_migration_rebuilds_the_entry_table() -> None:
    versions = Path(bot.store.migrations.versions.__file__).parent

    rebuilding = [
        path.name
        for path in versions.glob("*.py")
        if re.search(r"batch_alter_table\(\s*[\"']entry", path.read_text(encoding="utf-8"))
    ]

    assert rebuilding == []

"""The tables: made, checked, and told where they are; a mistyped address makes nothing."""

from pathlib import Path

import pytest
from sqlalchemy import text

from bot.store.engine import open_store
from tests.kit.database import Postgresql
from tests.kit.desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(f"sqlite:///{tmp_path / 'soakbell.db'}")


@pytest.mark.parametrize(
    "words", [("db", "check"), ("record", "list"), ("record", "verify"), ("site", "list")]
)
def test_a_command_that_reads_makes_no_database(
    desk: Desk, words: tuple[str, ...], tmp_path: Path
) -> None:
    (line,) = desk.fails(*words)

    assert "there is no such file" in line
    assert line.endswith("To make them: soakbell db migrate")
    assert list(tmp_path.iterdir()) == []


def test_tables_are_made_and_found_whole(bare_database: str) -> None:
    desk = Desk(bare_database)

    made, again = desk.reads("db", "migrate"), desk.reads("db", "migrate")

    assert made == again
    assert made.endswith("has the tables of this release.\n")
    assert desk.reads("db", "check").endswith("as they should be.\n")


def test_a_database_without_our_tables_is_named(bare_database: str) -> None:
    store = open_store(bare_database)
    with store.write() as connection:
        connection.execute(text("CREATE TABLE other (id integer)"))
    store.close()

    (line,) = Desk(bare_database).fails("record", "list")

    assert "tables are missing: bell, entry," in line


def test_a_missing_guard_and_a_column_too_many_are_both_named(desk: Desk) -> None:
    desk.reads("db", "migrate")
    store = open_store(desk.url)
    with store.write() as connection:
        connection.execute(text("DROP TRIGGER entry_no_delete"))
        connection.execute(text("ALTER TABLE inbox ADD COLUMN colour TEXT"))
    store.close()

    first, second = desk.fails("db", "check")

    assert first.startswith("the tables are not those of this release")
    assert second == "guard entry_no_delete is missing"


def test_a_row_that_points_nowhere_is_named(desk: Desk) -> None:
    desk.reads("db", "migrate")
    store = open_store(desk.url)
    with store.writing.connect() as connection:
        connection.connection.execute("PRAGMA foreign_keys=OFF")
        connection.connection.execute("INSERT INTO person VALUES ('gone', 'p1', 'Ann', NULL)")
        connection.commit()
    store.close()

    assert desk.fails("db", "check") == ["a row of person points at one of site that is not there"]


def test_where_it_is_is_told_without_the_password(postgresql: Postgresql) -> None:
    address = postgresql.address("postgres").replace("postgres:@", "postgres:hidden@", 1)

    told = Desk(address).reads("db", "where")

    assert "hidden" not in told
    assert told.endswith("(PostgreSQL)\n")


def test_without_an_address_the_setting_is_named_and_the_code_is_two() -> None:
    done = Desk("").types("db", "where")

    assert done.exit_code == 2
    assert done.stderr.startswith("Error: SOAKBELL_DATABASE_URL is not set; ")

"""The tables: made, checked, and told where they are; a mistyped address makes nothing."""

import hmac
from base64 import b64decode
from collections.abc import Iterator
from hashlib import pbkdf2_hmac, sha256
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


@pytest.fixture
def role(postgresql: Postgresql) -> Iterator[str]:
    """Ask for it before the database: a role cannot go while a database knows it."""
    yield "soakbell_typed"
    postgresql.run("DROP ROLE IF EXISTS soakbell_typed")


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_role_is_asked_for_its_password_once_and_the_server_never_sees_it(
    role: str, database: str, postgresql: Postgresql, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = Desk(database)
    kept = f"SELECT rolpassword FROM pg_authid WHERE rolname = '{role}'"  # noqa: S608

    made = desk.types("db", "role", role, answers="hidden\nhidden\n")
    first = postgresql.asks(kept)
    again = desk.types("db", "role", role)
    second = postgresql.asks(kept)
    monkeypatch.setenv("SOAKBELL_ROLE_PASSWORD", "another")
    changed = desk.types("db", "role", role)
    third = postgresql.asks(kept)

    assert [each.exit_code for each in (made, again, changed)] == [0, 0, 0]
    assert "hidden" not in made.output
    assert "Password" not in again.output
    assert again.output.endswith(
        f"{role} may add entries, and can neither change nor remove one.\n"
    )
    assert first == second != third
    assert _is_made_from("hidden", first)
    assert _is_made_from("another", third)


def _is_made_from(password: str, verifier: str) -> bool:
    """SCRAM-SHA-256$<iterations>:<salt>$<StoredKey>:<ServerKey>.

    Source: PostgreSQL manual, system catalog pg_authid; RFC 5803; keys as in RFC 5802, section 3.
    """
    _, head, keys = verifier.split("$")
    iterations, salt = head.split(":")
    salted = pbkdf2_hmac("sha256", password.encode(), b64decode(salt), int(iterations))
    client_key = hmac.digest(salted, b"Client Key", "sha256")
    return b64decode(keys.split(":")[0]) == sha256(client_key).digest()


def test_sqlite_has_no_roles_to_make(desk: Desk) -> None:
    desk.reads("db", "migrate")

    assert desk.fails("db", "role", "anybody") == [
        "SQLite knows no roles: guard the file and its directory instead."
    ]

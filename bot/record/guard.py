"""The triggers that refuse UPDATE and DELETE: set on both databases, missed where weakened."""

from sqlalchemy import Connection, text

from bot.store.tables.guards import (
    POSTGRESQL_FUNCTION_BODY,
    POSTGRESQL_GUARDS,
    SQLITE_GUARDS,
    guard_statements,
)


def set_guards(connection: Connection) -> None:
    """Put the guards on an entry table that has none."""
    for statement in guard_statements(connection.dialect.name):
        connection.execute(text(statement))


def missing_guards(connection: Connection) -> tuple[str, ...]:
    """Names of guards that are not there, are switched off, or say something else."""
    if connection.dialect.name == "sqlite":
        return _missing_on_sqlite(connection)
    return _missing_on_postgresql(connection)


def _missing_on_sqlite(connection: Connection) -> tuple[str, ...]:
    found: dict[str, str] = dict(
        connection.execute(
            text("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        ).all()
    )
    missing = [name for name, words in SQLITE_GUARDS.items() if found.get(name) != words]
    if connection.execute(text("PRAGMA recursive_triggers")).scalar_one() != 1:
        missing.append("recursive_triggers")
    return tuple(missing)


def _missing_on_postgresql(connection: Connection) -> tuple[str, ...]:
    found = connection.execute(
        text(
            "SELECT tgname, tgtype, prosrc FROM pg_trigger JOIN pg_proc p ON p.oid = tgfoid "
            "WHERE tgrelid = to_regclass('entry') AND tgenabled = 'A' "
            "AND tgqual IS NULL AND cardinality(tgattr::smallint[]) = 0"
        )
    )
    whole = {name for name, kind, source in found if (kind, source) == _wanted_on_postgresql(name)}
    return tuple(name for name in POSTGRESQL_GUARDS if name not in whole)


_ROW, _BEFORE, _DELETE, _UPDATE, _TRUNCATE = 1, 2, 8, 16, 32
"""Bits of tgtype. Source: PostgreSQL 15, src/include/catalog/pg_trigger.h, from memory."""

_KINDS = {
    "entry_no_change": _ROW | _BEFORE | _DELETE | _UPDATE,
    "entry_no_truncate": _BEFORE | _TRUNCATE,
}


def _wanted_on_postgresql(name: str) -> tuple[int | None, str]:
    return _KINDS.get(name), POSTGRESQL_FUNCTION_BODY

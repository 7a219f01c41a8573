"""INSERT or, where the row is there already, UPDATE: the same words on both databases."""

from collections.abc import Callable, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from sqlalchemy import Column, Connection, Table
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.sql import Insert


def upsert(
    connection: Connection, table: Table, *columns: str, **computed: Callable[[Any], Any]
) -> Insert:
    """An insert that overwrites *columns* where the primary key is taken.

    *computed* columns get what the function makes of the row that was to be inserted. It is asked
    once: the statement is kept, since making it takes longer than executing it.
    """
    return _upsert(connection.dialect.name, table, columns, tuple(computed.items()))


@lru_cache(maxsize=64)
def _upsert(
    dialect: str,
    table: Table,
    columns: tuple[str, ...],
    computed: tuple[tuple[str, Callable[[Any], Any]], ...],
) -> Insert:
    insert: Any = _DIALECTS[dialect].insert(table)
    new = insert.excluded
    changes = {name: new[name] for name in columns}
    changes |= {name: value(new) for name, value in computed}
    result: Insert = insert.on_conflict_do_update(
        index_elements=list(table.primary_key.columns), set_=changes
    )
    return result


def insert_new(connection: Connection, table: Table, *returning: Column[Any]) -> Insert:
    """An insert that does nothing where a unique value is taken already; then nothing returns."""
    return _insert_new(connection.dialect.name, table, returning)


@lru_cache(maxsize=64)
def _insert_new(dialect: str, table: Table, returning: tuple[Column[Any], ...]) -> Insert:
    insert: Any = _DIALECTS[dialect].insert(table)
    result: Insert = insert.on_conflict_do_nothing()
    return result.returning(*returning) if returning else result


_DIALECTS: Mapping[str, Any] = MappingProxyType({"sqlite": sqlite, "postgresql": postgresql})

"""INSERT or, where the row is there already, UPDATE: the same words on both databases."""

from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection, Table
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.sql import Insert


def upsert(
    connection: Connection, table: Table, *columns: str, **computed: Callable[[Any], Any]
) -> Insert:
    """An insert that overwrites *columns* where the primary key is taken.

    *computed* columns get what the function makes of the row that was to be inserted.
    """
    insert: Any = _dialect(connection).insert(table)
    new = insert.excluded
    changes = {name: new[name] for name in columns}
    changes |= {name: value(new) for name, value in computed.items()}
    result: Insert = insert.on_conflict_do_update(
        index_elements=list(table.primary_key.columns), set_=changes
    )
    return result


def insert_new(connection: Connection, table: Table) -> Insert:
    """An insert that does nothing where a unique value is taken already."""
    insert: Any = _dialect(connection).insert(table)
    result: Insert = insert.on_conflict_do_nothing()
    return result


def _dialect(connection: Connection) -> Any:
    return sqlite if connection.dialect.name == "sqlite" else postgresql

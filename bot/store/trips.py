"""Statements that nobody waits for the answer of go to PostgreSQL in one trip."""

from collections.abc import Iterator
from contextlib import contextmanager

import psycopg
from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError


@contextmanager
def in_one_trip(connection: Connection) -> Iterator[None]:
    """For statements that change rows and hand none back; to SQLite there are no trips.

    Raises DBAPIError at the end, as a statement that is refused would have by itself.
    """
    line = connection.connection.driver_connection
    if not isinstance(line, psycopg.Connection):
        yield
        return
    try:
        with line.pipeline():
            yield
    except psycopg.Error as error:
        if line.closed:
            connection.invalidate(error)
        raise DBAPIError.instance(
            None, None, error, psycopg.Error, connection_invalidated=line.closed
        ) from error

"""A database that cannot be reached, told apart from one that says no."""

from collections.abc import Iterator
from contextlib import contextmanager

from psycopg import OperationalError
from sqlalchemy.exc import DBAPIError

from bot.store.errors import StoreAway

_CLASS_OF_CONNECTIONS = "08"
_AWAY_STATES = frozenset({"53300", "57P01", "57P02", "57P03"})
"""Too many connections, shut down by its keeper, crashed, not yet started.
Source: PostgreSQL manual, Appendix A."""


@contextmanager
def away_is_said() -> Iterator[None]:
    """Raise StoreAway for whatever the libraries raise when there is no database to talk to."""
    try:
        yield
    except DBAPIError as error:
        if not _is_away(error):
            raise
        # Said by a server or a machine about a connection: nobody's words, and no password.
        raise StoreAway(str(error.orig).partition("\n")[0].rstrip(". ")) from error


def _is_away(error: DBAPIError) -> bool:
    said = error.orig
    if error.connection_invalidated:
        return True
    if not isinstance(said, OperationalError):
        return False
    state = said.sqlstate
    return state is None or state.startswith(_CLASS_OF_CONNECTIONS) or state in _AWAY_STATES

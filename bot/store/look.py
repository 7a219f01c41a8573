"""What stands at an address: is there a database, has it its tables, is it whole. Reads only."""

from collections.abc import Iterator
from pathlib import Path

from alembic.util import CommandError
from sqlalchemy import inspect, make_url, text

from bot.store.errors import StoreError
from bot.store.migrate import expect_tables_as_known
from bot.store.tables import metadata
from bot.store.transaction import Store


class NoDatabase(StoreError):
    """Nothing stands there, or nothing of ours."""

    def __init__(self, where: str, what: str) -> None:
        super().__init__(f"{where}: {what}. To make them: soakbell db migrate")
        self.where = where


def shown(url: str) -> str:
    """The address without its password."""
    return make_url(url).render_as_string(hide_password=True)


def expect_there(url: str) -> None:
    """Raise NoDatabase for a file that is not there: opening it would make an empty one."""
    address = make_url(url)
    if address.get_backend_name() == "sqlite" and not Path(address.database or "").is_file():
        raise NoDatabase(shown(url), "there is no such file, and so no tables")


def expect_tables(store: Store, url: str) -> None:
    """Raise NoDatabase where a table is missing."""
    gone = missing_tables(store)
    if gone:
        raise NoDatabase(shown(url), f"tables are missing: {', '.join(gone)}")


def missing_tables(store: Store) -> tuple[str, ...]:
    with store.read() as connection:
        found = set(inspect(connection).get_table_names())
    return tuple(name for name in sorted(metadata.tables) if name not in found)


def problems(store: Store) -> Iterator[str]:
    """What is wrong with the tables as tables; what they say is for verify and rebuild."""
    gone = missing_tables(store)
    if gone:
        yield f"tables are missing: {', '.join(gone)}"
        return
    try:
        expect_tables_as_known(store)
    except CommandError as error:
        yield f"the tables are not those of this release: {error}"
    yield from _broken_pages(store)


def _broken_pages(store: Store) -> Iterator[str]:
    """SQLite looks at its own file; PostgreSQL keeps its pages under checksums of its own."""
    with store.read() as connection:
        if connection.dialect.name != "sqlite":
            return
        for said in connection.execute(text("PRAGMA integrity_check")).scalars():
            if said != "ok":
                yield f"integrity: {said}"
        for row in connection.execute(text("PRAGMA foreign_key_check")):
            yield f"a row of {row[0]} points at one of {row[2]} that is not there"

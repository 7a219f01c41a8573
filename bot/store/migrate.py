"""Bring the tables up to date: Alembic, from inside the package."""

from io import StringIO

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, text

from bot.store.transaction import Store

ONE_AT_A_TIME = 5_043_077
"""Key of the advisory lock on PostgreSQL: of two that start together, one waits."""


def migrate(store: Store) -> None:
    """Change the tables to what this release knows; nothing where they are that already."""
    with store.write() as connection:
        if connection.dialect.name == "postgresql":
            # A migration may take as long as it takes.
            connection.execute(text("SET LOCAL lock_timeout = 0"))
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": ONE_AT_A_TIME})
        command.upgrade(_config(connection), "head")


def expect_tables_as_known(store: Store) -> None:
    """Raise Alembic's CommandError where the tables are not what the code says they are."""
    with store.write() as connection:
        command.check(_config(connection))


def _config(connection: Connection) -> Config:
    config = Config(stdout=StringIO())
    config.set_main_option("script_location", "bot.store:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config

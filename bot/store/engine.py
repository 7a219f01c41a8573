"""SQLite (WAL, full sync) or PostgreSQL; how it is opened and what is set on it."""

import sqlite3
from collections.abc import Mapping
from contextlib import nullcontext
from pathlib import Path
from types import MappingProxyType
from typing import Any

from sqlalchemy import URL, Engine, create_engine, event, make_url

from bot.store.errors import StoreUnknown
from bot.store.transaction import Store
from bot.store.turn import WriterTurn

SETTINGS = (
    "journal_mode=WAL",
    "synchronous=FULL",
    "busy_timeout=5000",
    "foreign_keys=ON",
    # Without it INSERT OR REPLACE deletes an entry and no trigger hears of it.
    "recursive_triggers=ON",
)

PATIENCE = {"connect_timeout": "5", "tcp_user_timeout": "10000", "keepalives_idle": "20"}
"""Of a connection to PostgreSQL: seconds, milliseconds, seconds. Without them a machine that has
lost its network is believed for minutes. Source: common practice, none published."""

WAITS = {"lock_timeout": "5s", "idle_in_transaction_session_timeout": "60s"}
"""Of whoever writes: a process that stands still with a site in its hands keeps neither the others
waiting nor the site. Source: common practice, none published."""


NO_TRANSACTION: Mapping[str, Any] = MappingProxyType(
    {"pool_reset_on_return": None, "skip_autocommit_rollback": True}
)
"""Of a connection that is only asked: there is nothing to take back when it is handed back."""


def open_store(url: str) -> Store:
    """A store on the database at *url*. Raises StoreUnknown for any but SQLite and PostgreSQL."""
    address = make_url(url)
    if address.get_backend_name() == "sqlite" and address.database not in {None, "", ":memory:"}:
        return _on_sqlite(address)
    if address.get_backend_name() == "postgresql":
        return _on_postgresql(address)
    raise StoreUnknown(url.partition(":")[0] + ":")


def _on_sqlite(address: URL) -> Store:
    writing = create_engine(address, hide_parameters=True)
    reading = create_engine(address, hide_parameters=True)
    _set_on_connect(writing, *SETTINGS)
    _set_on_connect(reading, *SETTINGS, "query_only=ON")
    _begin_with(writing, "BEGIN IMMEDIATE")
    _begin_with(reading, "BEGIN")
    turn = WriterTurn(Path(address.database or ""))
    looking = create_engine(address, hide_parameters=True, **NO_TRANSACTION)
    _set_on_connect(looking, *SETTINGS, "query_only=ON")
    return Store(writing, reading, turn, f"SQLite {sqlite3.sqlite_version}", looking)


def _set_on_connect(engine: Engine, *settings: str) -> None:
    def on_connect(connection: Any, _: Any) -> None:
        # The driver's own idea of when a transaction begins would be a deferred one, too late.
        connection.isolation_level = None
        for setting in settings:
            connection.execute(f"PRAGMA {setting}")

    event.listen(engine, "connect", on_connect)


def _begin_with(engine: Engine, words: str) -> None:
    def begin(dbapi_connection: Any) -> None:
        dbapi_connection.execute(words)

    # The dialect's own hook: with a listener every statement would ask who else listens.
    engine.dialect.do_begin = begin  # type: ignore[method-assign]


def _on_postgresql(address: URL) -> Store:
    address = address.set(drivername="postgresql+psycopg")
    writing = create_engine(
        address,
        isolation_level="READ COMMITTED",
        pool_pre_ping=True,
        hide_parameters=True,
        connect_args=_patience(address),
    )
    # A report sees one moment, however many statements it takes.
    reading = create_engine(
        address,
        isolation_level="REPEATABLE READ",
        pool_pre_ping=True,
        hide_parameters=True,
        connect_args=_patience(address),
        execution_options={"postgresql_readonly": True},
    )
    event.listen(writing, "connect", _let_nobody_wait_for_ever)
    # A round trip and nothing else: an exchange asks more than once.
    looking = create_engine(
        address,
        isolation_level="AUTOCOMMIT",
        hide_parameters=True,
        **NO_TRANSACTION,
        connect_args=_patience(address),
    )
    return Store(writing, reading, nullcontext, "PostgreSQL", looking)


def _patience(address: URL) -> dict[str, str]:
    """What the address does not say itself about a server that does not answer."""
    return {name: value for name, value in PATIENCE.items() if name not in address.query}


def _let_nobody_wait_for_ever(connection: Any, _: Any) -> None:
    connection.autocommit = True
    for name, span in WAITS.items():
        connection.execute(f"SET {name} = '{span}'")
    connection.autocommit = False

"""The PostgreSQL role that the bot runs under: it adds entries, and can do no more to them."""

import re
from collections.abc import Iterator

from sqlalchemy import Connection, text

from bot.store.errors import StoreError
from bot.store.tables import bell, entry, free_text, live, metadata, person, phone
from bot.store.tables.guards import POSTGRESQL_FUNCTION
from bot.store.transaction import Store

_NAME = re.compile(r"[a-z_][a-z0-9_]{0,62}")

_ADDED_TO = frozenset({entry.name})
_CLEARED = frozenset(table.name for table in (live, bell, person, phone, free_text))
"""What is made again from the record, and what can be erased (S15); all else stays."""

RIGHTS = {
    "alembic_version": "SELECT",
    **{
        name: "SELECT, INSERT"
        + (", UPDATE" if name not in _ADDED_TO else "")
        + (", DELETE" if name in _CLEARED else "")
        for name in metadata.tables
    },
}
"""What the role may do to each table, and to no other."""

_TOO_MUCH = text(
    "SELECT r.rolname, wish FROM pg_roles r, "
    "unnest(ARRAY['UPDATE', 'DELETE', 'TRUNCATE', 'TRIGGER']) wish "
    "WHERE pg_has_role(:name, r.oid, 'MEMBER') AND has_table_privilege(r.oid, 'entry', wish) "
    "ORDER BY r.rolname, wish"
)
"""By its own rights, by everybody's, as a superuser, as an owner, or as whom it may become."""

_OVER_IT = text(
    "SELECT r.rolname, over.thing FROM pg_roles r, ("  # noqa: S608 - nothing of anybody's is in it
    "SELECT 'owns the entries' AS thing, relowner AS owner FROM pg_class "
    "WHERE oid = to_regclass('entry') "
    "UNION ALL SELECT 'owns their guard', proowner FROM pg_proc "
    f"WHERE oid = to_regproc('{POSTGRESQL_FUNCTION}') "
    "UNION ALL SELECT 'owns the schema', nspowner FROM pg_namespace "
    "WHERE oid = (SELECT relnamespace FROM pg_class WHERE oid = to_regclass('entry')) "
    "UNION ALL SELECT 'owns the database', datdba FROM pg_database "
    "WHERE datname = current_database() "
    "UNION ALL SELECT 'makes roles', oid FROM pg_roles WHERE rolcreaterole AND rolname = :name"
    ") over WHERE r.oid = over.owner AND pg_has_role(:name, r.oid, 'MEMBER') ORDER BY thing"
)
"""Whoever has these can take what has not been granted."""


class NoRoles(StoreError):
    """SQLite: whoever can write the file can write all of it."""

    def __init__(self) -> None:
        super().__init__("SQLite knows no roles: guard the file and its directory instead.")


class RoleUnfit(StoreError):
    """The role cannot be what it is meant to be; nothing has been changed."""

    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"Role {name}: {why}. Nothing has been changed.")
        self.name = name


def has_role(store: Store, name: str) -> bool:
    """Whether there is a role of that name. Raises NoRoles, and RoleUnfit for no name at all."""
    if store.writing.dialect.name != "postgresql":
        raise NoRoles
    if not _NAME.fullmatch(name):
        raise RoleUnfit(name, "a name is small letters, digits and _, at most 63")
    with store.read() as connection:
        return _is_there(connection, name)


def give_role(store: Store, name: str, password: str = "") -> None:
    """Make the role, or correct what it may do; with *password* its password, too.

    Raises RoleUnfit where it could still harm an entry, by whatever else it has or is.
    """
    with store.write() as connection:
        if not _is_there(connection, name):
            connection.execute(text(f"CREATE ROLE {name} LOGIN"))
        if password:
            verifier = _verifier(connection, name, password)
            connection.execute(text(f"ALTER ROLE {name} PASSWORD '{verifier}'"))
        for statement in _grants(connection, name):
            connection.execute(text(statement))
        too_much = [*_could_still(connection, name)]
        if too_much:
            raise RoleUnfit(name, "; ".join(too_much))


def _is_there(connection: Connection, name: str) -> bool:
    wanted = text("SELECT 1 FROM pg_roles WHERE rolname = :name")
    return connection.execute(wanted, {"name": name}).one_or_none() is not None


def _verifier(connection: Connection, name: str, password: str) -> str:
    """What the server keeps of a password: made here, so that the password gets in no log."""
    line = connection.connection.driver_connection
    made: bytes = line.pgconn.encrypt_password(  # type: ignore[union-attr]
        password.encode(), name.encode(), b"scram-sha-256"
    )
    # A colon before a letter would be a parameter of ours.
    return made.decode().replace(":", r"\:")


def _grants(connection: Connection, name: str) -> Iterator[str]:
    """Names are ours, or letters, digits and _: nothing to be escaped."""
    here = text("SELECT quote_ident(current_database())")
    schema = text(
        "SELECT relnamespace::regnamespace FROM pg_class WHERE oid = to_regclass('entry')"
    )
    database, of = (connection.execute(asked).scalar_one() for asked in (here, schema))
    yield f"GRANT CONNECT ON DATABASE {database} TO {name}"
    yield f"REVOKE ALL ON SCHEMA {of} FROM {name}"
    yield f"GRANT USAGE ON SCHEMA {of} TO {name}"
    yield f"GRANT USAGE ON ALL SEQUENCES IN SCHEMA {of} TO {name}"
    for table, rights in RIGHTS.items():
        yield f"REVOKE ALL ON {table} FROM {name}"
        yield f"GRANT {rights} ON {table} TO {name}"


def _could_still(connection: Connection, name: str) -> Iterator[str]:
    for who, wish in connection.execute(_TOO_MUCH, {"name": name}):
        yield f"{_by(name, who)} may {wish} entries"
    for who, thing in connection.execute(_OVER_IT, {"name": name}):
        yield f"{_by(name, who)} {thing}"


def _by(name: str, who: str) -> str:
    return "it" if who == name else f"it may become {who}, which"

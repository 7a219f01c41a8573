"""S15: under its own role the bot does all it does, and can harm no entry by privilege."""

from collections.abc import Iterator

import pytest
from sqlalchemy import inspect, make_url, text
from sqlalchemy.exc import ProgrammingError

from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.record.seal import seal
from bot.registers.change import erase_person
from bot.registers.draft import standing
from bot.store.engine import open_store
from bot.store.migrate import migrate
from bot.store.people import names_of
from bot.store.role import RIGHTS, NoRoles, RoleUnfit, give_role, has_role
from bot.store.tables import metadata
from bot.store.tables.guards import POSTGRESQL_GUARDS
from bot.store.transaction import Store
from flows.parts.events import Released, Sealed
from flows.parts.moment import Moment
from tests.exchange.test_whole_cycle import obeys
from tests.kit.database import Postgresql
from tests.kit.desk import Desk
from tests.kit.shell import SITE, shell

ROLE, KEEPER = "soakbell_at_work", "soakbell_keeper"
DENIED = "42501"
"""Insufficient privilege. Source: PostgreSQL manual, Appendix A."""

on_postgresql = pytest.mark.parametrize("database", ["postgresql"], indirect=True)

HARM = {
    "update": "UPDATE entry SET person = 'p9'",
    "delete": "DELETE FROM entry",
    "truncate": "TRUNCATE entry",
    "truncate with its site": "TRUNCATE site CASCADE",
    "drop": "DROP TABLE entry",
    "guard off": "ALTER TABLE entry DISABLE TRIGGER entry_no_change",
    "all guards off": "ALTER TABLE entry DISABLE TRIGGER ALL",
    "no guard": "DROP TRIGGER entry_no_change ON entry",
    "another guard": (
        "CREATE TRIGGER zz BEFORE INSERT ON entry FOR EACH ROW EXECUTE FUNCTION entry_refuse()"
    ),
    "a guard that lets by": (
        "CREATE OR REPLACE FUNCTION entry_refuse() RETURNS trigger LANGUAGE plpgsql "
        "AS $$BEGIN RETURN NULL; END$$"
    ),
    "as a replica": "SET session_replication_role = replica",
    "a rule in its place": "CREATE RULE r AS ON INSERT TO entry DO INSTEAD NOTHING",
    "a site": "DELETE FROM site",
    "a text that came": "DELETE FROM inbox",
    "the tables' own number": "UPDATE alembic_version SET version_num = 'x'",
}


@pytest.fixture
def roles(postgresql: Postgresql) -> Iterator[None]:
    """Ask for it before the database: a role cannot go while a database knows it."""
    yield
    for name in (ROLE, KEEPER):
        postgresql.run(f"DROP ROLE IF EXISTS {name}")


@pytest.fixture
def own(store: Store, database: str) -> Iterator[Store]:
    """The same database, under the role."""
    give_role(store, ROLE)
    address = make_url(database).set(username=ROLE)
    opened = open_store(address.render_as_string(hide_password=False))
    yield opened
    opened.close()


@on_postgresql
@pytest.mark.usefixtures("roles")
def test_S15_under_its_role_the_bot_does_all_it_does(own: Store) -> None:
    migrate(own)
    clinic = shell(own)

    obeys(clinic)
    sealed = seal(own, clinic.clock.now())
    moment = Moment(clinic.clock.now(), "token")
    erased = erase_person(SITE, 3, moment, standing(own, SITE))
    clinic.exchange.set_up(SITE, erased.events, erased.keep)

    assert len(clinic.entries(Released)) == 1
    assert isinstance(sealed, Sealed)
    with own.read() as connection:
        assert "p3" not in names_of(connection, SITE)
        assert verify(connection, SITE) == []
    assert rebuild(own, SITE, check=False) == []
    assert Desk(str(own.writing.url)).reads("db", "check").endswith("as they should be.\n")


@on_postgresql
@pytest.mark.usefixtures("roles")
def test_S15_under_its_role_no_statement_harms_an_entry_or_a_guard(
    own: Store,
) -> None:
    said = {}
    for name, statement in HARM.items():
        with pytest.raises(ProgrammingError) as refused, own.write() as connection:
            connection.execute(text(statement))
        said[name] = getattr(refused.value.orig, "sqlstate", None)

    assert said == dict.fromkeys(HARM, DENIED)


@on_postgresql
@pytest.mark.usefixtures("roles")
def test_what_a_role_had_too_much_is_taken_back(store: Store) -> None:
    give_role(store, ROLE)
    with store.write() as connection:
        connection.execute(text(f"GRANT ALL ON entry, site, inbox TO {ROLE}"))

    give_role(store, ROLE)
    give_role(store, ROLE)

    with store.read() as connection:
        held = connection.execute(
            text(
                "SELECT table_name, privilege_type FROM information_schema.role_table_grants "
                "WHERE grantee = :role"
            ),
            {"role": ROLE},
        ).all()
    wanted = {(table, each) for table, rights in RIGHTS.items() for each in rights.split(", ")}
    assert {tuple(row) for row in held} == wanted


@on_postgresql
@pytest.mark.parametrize(
    ("beforehand", "why"),
    [
        (f"ALTER ROLE {ROLE} SUPERUSER", "it may DELETE entries"),
        (f"ALTER TABLE entry OWNER TO {ROLE}", "it owns the entries"),
        (f"ALTER FUNCTION entry_refuse OWNER TO {ROLE}", "it owns their guard"),
        (
            f"ALTER TABLE entry OWNER TO {KEEPER}; GRANT {KEEPER} TO {ROLE}",
            f"{KEEPER}, which owns",
        ),
        (f"GRANT {KEEPER} TO {ROLE}", f"it may become {KEEPER}, which may DELETE entries"),
        (f"ALTER ROLE {ROLE} CREATEROLE", "it makes roles"),
        (f"ALTER SCHEMA public OWNER TO {ROLE}", "it owns the schema"),
        ("GRANT TRUNCATE ON entry TO PUBLIC", "it may TRUNCATE entries"),
    ],
    ids=[
        "superuser",
        "owner",
        "guard",
        "owner's member",
        "member",
        "makes roles",
        "schema",
        "everybody",
    ],
)
@pytest.mark.usefixtures("roles")
def test_a_role_that_could_still_harm_an_entry_is_refused_and_stays_as_it_was(
    store: Store, beforehand: str, why: str
) -> None:
    with store.write() as connection:
        connection.execute(text(f"CREATE ROLE {ROLE}"))
        connection.execute(text(f"CREATE ROLE {KEEPER}"))
        connection.execute(text(f"GRANT DELETE ON entry TO {KEEPER}"))
        connection.execute(text(beforehand))

    with pytest.raises(RoleUnfit) as refused:
        give_role(store, ROLE)

    assert why in str(refused.value)
    with store.read() as connection:
        may = text(f"SELECT 1 FROM information_schema.role_table_grants WHERE grantee = '{ROLE}' "  # noqa: S608
                   "AND table_name = 'live'")  # fmt: skip
        assert connection.execute(may).all() == []


@on_postgresql
def test_every_table_there_is_has_its_rights(store: Store) -> None:
    with store.read() as connection:
        tables = {*inspect(connection).get_table_names()}

    assert {*RIGHTS} == tables == {*metadata.tables, "alembic_version"}
    assert RIGHTS["entry"] == "SELECT, INSERT"
    assert [*POSTGRESQL_GUARDS] == ["entry_no_change", "entry_no_truncate"]


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_sqlite_knows_no_roles(store: Store) -> None:
    with pytest.raises(NoRoles, match="guard the file"):
        has_role(store, ROLE)


@on_postgresql
@pytest.mark.parametrize("name", ["", "Robert'); --", "a b", "x" * 64, "9x"])
def test_a_name_that_would_have_to_be_escaped_is_none(store: Store, name: str) -> None:
    with pytest.raises(RoleUnfit, match="small letters"):
        has_role(store, name)

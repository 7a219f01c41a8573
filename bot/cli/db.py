"""Make or change the tables and the role that uses them, check them, say where they are."""

import os

import click

from bot.record.guard import missing_guards
from bot.settings import read_database_url
from bot.store.engine import open_store
from bot.store.look import expect_tables, expect_there, problems, shown
from bot.store.migrate import migrate
from bot.store.role import give_role, has_role

ROLE_PASSWORD = "SOAKBELL_ROLE_PASSWORD"  # noqa: S105 - where one is


@click.group()
def command() -> None:
    """Make or change the tables and the role that uses them, check them, say where they are."""


@command.command("migrate")
def migrate_() -> None:
    """Bring the tables to what this release knows; nothing where they are that already."""
    url = read_database_url(os.environ)
    store = open_store(url)
    try:
        migrate(store)
    finally:
        store.close()
    click.echo(f"{shown(url)} has the tables of this release.")


@command.command("check")
def check_() -> None:
    """Whether the tables are those of this release, are guarded, and are whole."""
    url = read_database_url(os.environ)
    expect_there(url)
    store = open_store(url)
    try:
        found = [*problems(store)]
        with store.read() as connection:
            found += [f"guard {name} is missing" for name in missing_guards(connection)]
    finally:
        store.close()
    if found:
        raise click.ClickException("\n".join(found))
    click.echo(f"{shown(url)}: tables, guards and pages are as they should be.")


@command.command("where")
def where_() -> None:
    """The address of the record, without its password, and the database behind it."""
    url = read_database_url(os.environ)
    store = open_store(url)
    version = store.version
    store.close()
    click.echo(f"{shown(url)} ({version})")


@command.command("role")
@click.argument("name")
def role_(name: str) -> None:
    """Make the PostgreSQL role that serve and worker run under, or correct what it may do.

    It adds entries to the record; it cannot change or remove one, or switch a guard off. To be
    run by the owner of the tables, and again after each migrate. A new role is asked for its
    password, unless SOAKBELL_ROLE_PASSWORD holds it; that also changes the password of an old one.
    """
    url = read_database_url(os.environ)
    expect_there(url)
    store = open_store(url)
    try:
        is_old = has_role(store, name)
        expect_tables(store, url)
        password = os.environ.get(ROLE_PASSWORD) or ("" if is_old else _asked_for(name))
        give_role(store, name, password)
    finally:
        store.close()
    click.echo(f"{shown(url)}: {name} may add entries, and can neither change nor remove one.")


def _asked_for(name: str) -> str:
    words = f"Password of {name} (none, where the server knows it without)"
    said: str = click.prompt(
        words, default="", show_default=False, hide_input=True, confirmation_prompt=True
    )
    return said

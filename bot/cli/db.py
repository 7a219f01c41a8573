"""Make or change the tables, check them, say where they are."""

import os

import click

from bot.record.guard import missing_guards
from bot.settings import read_database_url
from bot.store.engine import open_store
from bot.store.look import expect_there, problems, shown
from bot.store.migrate import migrate


@click.group()
def command() -> None:
    """Make or change the tables, check them, say where they are."""


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

"""Enrol phones: one's own, or shared by several people with PINs."""

import click

from bot.cli.at_site import enter, site_option


@click.group()
def command() -> None:
    """Enrol phones: one's own, or shared by several people with PINs."""


@command.command("add")
@click.argument("number")
@click.argument("people", nargs=-1, required=True)
@click.option("--shared", is_flag=True, help="Ask who is holding it, even with one person.")
@site_option
def add_(*, number: str, people: tuple[str, ...], shared: bool, site: str | None) -> None:
    """Enrol the phone NUMBER for PEOPLE, by their short numbers. Two or more share it."""
    cells = {
        "number": number,
        "people": " ".join(people),
        "shared": "yes" if shared else "no",
    }
    enter(site, "phones", f"phone {number}", cells)
    click.echo(f"{number} is enrolled for {', '.join(people)}.")

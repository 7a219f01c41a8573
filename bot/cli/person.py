"""Enrol people, list them, change how much they are asked, erase them."""

import click

from bot.cli.at_site import change, enter, reading, site_option, the_site
from bot.registers.change import erase_person, set_level
from bot.store.live import load
from bot.store.people import names_of
from flows.parts.clinic import Level, Role

ROLES = [role.value for role in Role]
LEVELS = [level.value for level in Level]


@click.group()
def command() -> None:
    """Enrol people, list them, change how much they are asked, erase them."""


@command.command("add")
@click.argument("number")
@click.argument("name")
@click.option("--role", type=click.Choice(ROLES), default=Role.WORKER.value, show_default=True)
@click.option(
    "--level",
    type=click.Choice(LEVELS),
    default=Level.COACH.value,
    show_default=True,
    help="A step a text, or the evidence texts only.",
)
@click.option(
    "--may-release/--may-not-release", default=False, help="Whether alone. Default: not."
)
@click.option("--language", default="en", show_default=True)
@click.option("--phone", help="A phone of their own, like +15005550006.")
@click.option("--pin", is_flag=True, help="Ask for a PIN: for a shared phone. It is not shown.")
@site_option
def add_(  # noqa: PLR0913 - one argument an option
    *,
    number: str,
    name: str,
    role: str,
    level: str,
    may_release: bool,
    language: str,
    phone: str | None,
    pin: bool,
    site: str | None,
) -> None:
    """Enrol NAME under NUMBER, from 1 to 99: what they type on a shared phone."""
    cells = {
        "number": number,
        "name": name,
        "role": role,
        "level": level,
        "may_release": "yes" if may_release else "no",
        "language": language,
        "phone": phone,
        "pin": _asked_for_pin() if pin else None,
    }
    enter(site, "people", f"person {number}", cells)
    click.echo(f"{name} is enrolled as number {number}.")


def _asked_for_pin() -> str:
    """Typed, never an argument: a command line is kept in a history and seen in a process list."""
    typed: str = click.prompt("PIN, 4 to 6 figures", hide_input=True, confirmation_prompt=True)
    return typed


@command.command("list")
@site_option
def list_(site: str | None) -> None:
    """Who is enrolled, and how many phones each may use."""
    with reading() as store:
        which = the_site(store, site)
        with store.read() as connection:
            clinic, names = load(connection, which).clinic, names_of(connection, which)
    for person in sorted(clinic.people.values(), key=lambda each: each.number):
        phones = [phone for phone in clinic.phones.values() if person.id in phone.people]
        release = "may release" if person.may_release else "may not release"
        click.echo(
            f"{person.number:>2}  {names.get(person.id, '(erased)'):<12}  {person.role}, "
            f"{person.level}, {release}, {person.language}, phones: {len(phones)}"
        )


@command.command("level")
@click.argument("number", type=int)
@click.argument("level", type=click.Choice(LEVELS))
@site_option
def level_(number: int, level: str, site: str | None) -> None:
    """Lead NUMBER step by step (coach), or ask for the evidence texts only (brief)."""
    change(site, lambda at, moment, stands: set_level(at, number, Level(level), moment, stands))
    click.echo(f"Number {number} gets {level} texts from the next question on.")


@command.command("erase")
@click.argument("number", type=int)
@click.confirmation_option(prompt="Name, PIN, words and own phones are lost for good. Erase?")
@site_option
def erase_(number: int, site: str | None) -> None:
    """Forget who NUMBER is. The record keeps an id that leads to nobody, and stays whole."""
    change(site, lambda at, moment, stands: erase_person(at, number, moment, stands))
    click.echo(f"Number {number} is erased.")

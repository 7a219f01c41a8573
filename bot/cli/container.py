"""Enter jugs, bottles, baths and strips that are there already."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import cast
from zoneinfo import ZoneInfo

import click

from bot.cli.at_site import enter, site_option
from bot.registers.set_up import SetUp
from bot.registers.stock import LETTERS
from bot.texts.render import Renderer
from flows.calculations.calendar import last_good_day, local_day
from flows.calculations.check_code import labelled_tag
from flows.containers.label import lot_on_label
from flows.containers.limits import limit
from flows.containers.one_life import in_a_jug
from flows.parts.clinic import Kind
from flows.parts.events import (
    ContainerHeld,
    Event,
    JugActivated,
    JugOpened,
    Poured,
    StripBottleOpened,
)
from flows.protocols import shipped
from flows.protocols.model import Chemistry

Opened = JugOpened | Poured | StripBottleOpened


@click.group()
def command() -> None:
    """Enter jugs, bottles, baths and strips that are there already."""


@command.command("add")
@click.argument("tag")
@click.argument("kind", type=click.Choice([*LETTERS]))
@click.option("--since", required=True, help="Opened, poured or filled: 2026-03-01 [08:30].")
@click.option("--source", help="For a pour: the tag it was poured from.")
@click.option("--product", help="For what was opened: its name, like opa_055.")
@click.option("--lot", help="For what was opened: its lot, of a longer one the last 12.")
@click.option("--expires", help="For what was opened: the printed date, 2027-03-31.")
@click.option("--activated", help="For a jug that needs it: its day of activation, 2026-03-01.")
@click.option("--checked/--not-checked", default=None, help="For strips: was their test passed?")
@click.option("--volume", help='What it holds, like "5 L"; else as the site or device file says.')
@site_option
def add_(  # noqa: PLR0913 - one argument an option
    *,
    tag: str,
    kind: str,
    since: str,
    source: str | None,
    product: str | None,
    lot: str | None,
    expires: str | None,
    activated: str | None,
    checked: bool | None,
    volume: str | None,
    site: str | None,
) -> None:
    """Enter TAG, like J1 for a jug. A pour inherits its date, and counts only from empty.

    A day without a time counts from its first minute: the earliest it can have been. A jug that
    needs activation, and comes without its day, is asked for it by POUR before it is poured.
    """
    cells = {
        "tag": tag,
        "kind": kind,
        "since": since,
        "source": source,
        "product": product,
        "lot": lot,
        "expires": expires,
        "activated": activated,
        "checked": None if checked is None else "yes" if checked else "no",
        "volume": volume,
    }
    made = enter(site, "containers", f"container {tag}", cells)
    entered, *then = made.events
    words = _on_its_label(cast("Opened", entered), then, made, volume)
    click.echo(f"{tag.upper()} is entered. Write on it: {words}.{_still_due(entered, then)}")
    for remark in made.remarks:
        click.echo(remark)


def _on_its_label(
    entered: Opened,
    then: Sequence[Event],
    made: SetUp,
    said: str | None,
) -> str:
    """As the label of what is opened or poured by text, and its lot."""
    zone = made.zone or ZoneInfo("UTC")
    active = next((each for each in then if isinstance(each, JugActivated)), None)
    decided = active or entered
    why, of_lot = (
        Renderer().render(each, "en", zone, made.at)
        for each in (limit(decided.because), lot_on_label(entered.lot))
    )
    parts = [
        f"{labelled_tag(entered.tag)} {_holds(entered, said)}{_contents(entered, made)}",
        f"lot {of_lot}",
        *([f"activated {local_day(active.activated, zone)}"] if active else []),
        f"good to {_last(decided.discard_by, zone)} ({why})",
    ]
    return ", ".join(parts)


def _contents(entered: Opened, made: SetUp) -> str:
    """As by text: what a bath is mixed from is no disinfectant yet."""
    product = shipped().product(entered.product)
    if product is None:
        return entered.product
    if not isinstance(entered, JugOpened) or not isinstance(product, Chemistry):
        return product.title
    held = in_a_jug(product)
    if isinstance(held, str):
        return held
    return Renderer().render(held, "en", made.zone or ZoneInfo("UTC"), made.at)


def _holds(entered: Event, said: str | None) -> str:
    """Its volume, as it was typed or as the site has it; a bath is filled to its line."""
    litres = Decimal(getattr(entered, "volume_ml", None) or 0) / 1000
    is_bath = getattr(entered, "kind", None) is Kind.BATH
    return f"{litres.normalize():f} L " if litres and (said or not is_bath) else ""


def _last(ends: datetime, zone: ZoneInfo) -> str:
    """S5: the last good day; a time of day where it ends at one."""
    day = last_good_day(ends, zone)
    return f"the end of {day}" if day else f"{ends.astimezone(zone):%H:%M on %Y-%m-%d}"


def _still_due(entered: Event, then: Sequence[Event]) -> str:
    """S4: strips that nobody has tested are tested before they judge anything.

    So is a jug that may be one whose strip has failed, before anything is poured from it.
    """
    held = next((each.tag for each in then if isinstance(each, ContainerHeld)), None)
    if held:
        return (
            f" It is ON HOLD: it may be one that failed. Before it is used: TEST {held} by text."
        )
    if isinstance(entered, StripBottleOpened) and not entered.checked:
        return f" Before it is used: TEST {entered.tag} by text."
    return ""

"""Set a figure of a product for one site, with the reason that is owed for a laxer one."""

import click

from bot.cli.at_site import enter, site_option
from bot.exports.protocol_sheet import disputed
from bot.protocols import CHEMISTRY, SITE
from flows.parts.events import LifeShortened
from flows.protocols import shipped


@click.command()
@click.argument("product")
@click.argument("key")
@click.argument("value")
@click.option("--reason", default="", help="Three words or more; owed for a laxer figure.")
@site_option
def command(product: str, key: str, value: str, reason: str, site: str | None) -> None:
    """Set KEY of PRODUCT to VALUE at a site, like: choose opa_055 bell_margin "2 min".

    Which disinfectant a device model is soaked in: choose handheld_probe chemistry opa_055. Its
    maker has to allow it; what is in dispute about it is said.

    Every record of a cycle says where its site is laxer than published. The reason is kept where
    it can be erased; the record holds its digest.
    """
    cells = {"product": product, "key": key, "value": value, "reason": reason}
    made = enter(site, "choices", "choice", cells)
    over = any(
        isinstance(each, LifeShortened) and each.discard_by <= made.at for each in made.events
    )
    running = "" if key == CHEMISTRY else ", in a running one if stricter"
    at_once = over or product == SITE
    from_when = "from now on" if at_once else f"from the next cycle on{running}"
    click.echo(f"{product}.{key} is {value} {from_when}.")
    for remark in made.remarks:
        click.echo(remark)
    chosen = shipped().product(value) if key == CHEMISTRY else None
    for line in disputed(chosen) if chosen else ():
        click.echo(line)

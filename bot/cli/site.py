"""Open a site, or list those there are."""

import click

from bot.cli.at_site import open_site, reading
from bot.record.seal import PROGRAMME
from bot.record.written import sites_in
from bot.store.live import load
from flows.parts.events import Recalled


@click.group()
def command() -> None:
    """Open a site, or list those there are."""


@command.command("open")
@click.argument("site")
@click.option("--title", help="What people call it. Else what it was called before.")
@click.option("--zone", required=True, help="Its time zone, like Etc/GMT-3.")
@click.option("--closes-at", required=True, help="Its closing time, like 17:00.")
@click.option("--language", default="en", show_default=True, help="Language of its texts.")
@click.option("--day-order", help="How dates are written there: dmy or mdy. Else it is asked.")
def open_(  # noqa: PLR0913 - one argument an option
    *,
    site: str,
    title: str | None,
    zone: str,
    closes_at: str,
    language: str,
    day_order: str | None,
) -> None:
    """Open SITE, a short name in small letters; said again, its times are changed."""
    made = open_site(
        site,
        {
            "site": site,
            "title": title,
            "zone": zone,
            "closes_at": closes_at,
            "language": language,
            "day_order": day_order,
        },
    )
    click.echo(f"Site {site} is open. Next: soakbell person add, device add, container add.")
    recalls = [each for each in made.events if isinstance(each, Recalled)]
    if recalls:
        click.echo(f"Recalled before and known there too: {len(recalls)}; soakbell recall list.")


@command.command("list")
def list_() -> None:
    """Every site, with its people, phones and devices counted."""
    with reading() as store, store.read() as connection:
        for site in sites_in(connection):
            clinic = load(connection, site).clinic
            if site != PROGRAMME and clinic.site:
                title = f"{clinic.site.title}, " if clinic.site.title else ""
                click.echo(
                    f"{site}  {title}{clinic.site.zone}, closes {clinic.site.closes_at}, "
                    f"{len(clinic.people)} people, {len(clinic.phones)} phones, "
                    f"{len(clinic.devices)} devices"
                )

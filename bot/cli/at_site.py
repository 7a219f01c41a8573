"""Which store and which site a command is about, and the one door through which it writes."""

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from secrets import token_hex
from typing import Any

import click

from bot import wiring
from bot.record.seal import PROGRAMME
from bot.record.written import sites_in
from bot.registers.add import Row, Standing, Wanted, add, standing
from bot.registers.set_up import SetUp
from bot.registers.taken_over import standing_recalls, taken_over
from bot.settings import read_database_url
from bot.store.engine import open_store
from bot.store.look import expect_tables, expect_there
from bot.store.transaction import Store
from flows.parts.moment import Moment

site_option = click.option("--site", help="Which site; not needed where there is only one.")


@contextmanager
def reading() -> Iterator[Store]:
    """The store as it stands: nothing is made and nothing is migrated."""
    url = read_database_url(os.environ)
    expect_there(url)
    store = open_store(url)
    try:
        expect_tables(store, url)
        yield store
    finally:
        store.close()


@contextmanager
def desk() -> Iterator[wiring.Desk]:
    """The doors to a store, which is made where there is none."""
    opened = wiring.desk(read_database_url(os.environ))
    try:
        yield opened
    finally:
        opened.store.close()


def the_site(store: Store, named: str | None) -> str:
    """The site that is meant. Fails where it is not there, and where it cannot be told."""
    with store.read() as connection:
        known = sites_in(connection)
    ours = [site for site in known if site != PROGRAMME]
    if named in known:
        return str(named)
    here = f"There are: {', '.join(ours)}." if ours else "There is none yet: soakbell site open"
    if named:
        raise click.ClickException(f"There is no site {named} here. {here}")
    if len(ours) != 1:
        raise click.ClickException(f"Say which site with --site. {here}")
    return ours[0]


Changes = Callable[[str, Moment, Standing], SetUp]


def change(named: str | None, changes: Changes) -> SetUp:
    """Work a change out beside what stands, and let it happen through the exchange."""
    with desk() as opened:
        site = the_site(opened.store, named)
        made = changes(site, moment(opened), standing(opened.store, site))
        opened.exchange.set_up(site, made.events, made.keep)
        return made


def enter(named: str | None, room: str, where: str, cells: Mapping[str, str | None]) -> SetUp:
    """Set one thing up from what was typed; *room* is that of `Wanted`."""
    row = Row(where, {key: cell for key, cell in cells.items() if cell is not None})
    rows: dict[str, Any] = {room: (row,)}
    wanted = Wanted(**rows)
    return change(named, lambda site, moment, stands: add(site, wanted, moment, stands))


def open_site(site: str, cells: Mapping[str, str | None]) -> SetUp:
    """Open a site, or say what has changed about it; a new one takes standing recalls over."""
    row = Row(site, {key: cell for key, cell in cells.items() if cell is not None})
    with desk() as opened:
        stands, at = standing(opened.store, site), moment(opened)
        made = add(site, Wanted(site=row), at, stands)
        if stands.clinic.site is None:
            made = taken_over(made, standing_recalls(opened.store), at)
        opened.exchange.set_up(site, made.events, made.keep)
        return made


def moment(opened: wiring.Desk) -> Moment:
    """Now, with a token that nobody has had before."""
    return Moment(opened.clock.now(), token_hex(16))

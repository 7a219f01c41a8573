"""Recall a lot, a lot of strips or a figure at every site; a dry run first."""

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import click

from bot import wiring
from bot.cli.at_site import desk, moment, reading
from bot.record.seal import PROGRAMME
from bot.record.written import sites_in
from bot.registers.add import standing
from bot.registers.recall import Wish, is_known, recall_of, recalled, still_standing
from bot.registers.set_up import SetUp
from bot.reports.recalled import Touched, Use, touched
from bot.store.live import load
from bot.store.transaction import Store
from flows.parts.clinic import Clinic, Recall
from flows.protocols import shipped
from flows.rules.recall import FIGURE, LOT, STRIP_LOT

DRY = "Dry run: nothing is changed and nobody told. To do it, the same with --carry-out."


@click.group()
def command() -> None:
    """Recall a lot, a lot of strips or a figure at every site; a dry run first.

    A site that is opened later takes it over. One that was there and does not know of it: recall
    it once more, those that know of it are not told twice.
    """


reason_option = click.option("--reason", default="", help="In writing: who recalls it, and why.")
carry_out_option = click.option("--carry-out", is_flag=True, help="Do it. Else only shown.")


@command.command("lot")
@click.argument("product")
@click.argument("lot")
@reason_option
@carry_out_option
def lot_(*, product: str, lot: str, reason: str, carry_out: bool) -> None:
    """Recall LOT of the disinfectant or detergent PRODUCT, like: recall lot opa_055 D4417.

    Bleach and powder, and what was mixed of them at any strength: recall lot chlorine C1. Of a lot
    longer than 12 signs the last 12, as it was entered by text.

    Containers of that lot, or whose lot nobody noted, are condemned; cycles in them are void,
    releases withdrawn, and everybody told. Uses that were made are listed for look-back.
    """
    _recall(Wish(LOT, product, lot, reason=reason), carry_out=carry_out)


@command.command("strip-lot")
@click.argument("product")
@click.argument("lot")
@reason_option
@carry_out_option
def strip_lot(*, product: str, lot: str, reason: str, carry_out: bool) -> None:
    """Recall LOT of the test strips PRODUCT, like: recall strip-lot opa_strip_1s_90s K208.

    Their bottles are condemned, and what they have passed waits for a strip of another lot. Of a
    lot longer than 12 signs the last 12, as it was entered by text.
    """
    _recall(Wish(STRIP_LOT, product, lot, reason=reason), carry_out=carry_out)


@command.command("protocol")
@click.argument("product")
@click.argument("key")
@click.argument("value")
@click.option("--instead", default="", help="The figure that stands from now on.")
@reason_option
@carry_out_option
def protocol(  # noqa: PLR0913 - one argument an option
    *, product: str, key: str, value: str, instead: str, reason: str, carry_out: bool
) -> None:
    """Recall a figure that was wrong, like: recall protocol opa_055 contact_time "12 min".

    Every cycle that went by it, or by a laxer one, is void. --instead, like "15 min", is set at
    every site at the same time, so that none begins with it again.
    """
    wish = Wish(FIGURE, product, key, value, instead, reason)
    _recall(wish, carry_out=carry_out)


@command.command("list")
def list_() -> None:
    """Every recall of every site, and the uses to look back for, as the record has them now."""
    with reading() as store:
        for site in _sites(store):
            clinic = _clinic(store, site)
            for recall in clinic.recalls.values():
                at = recall.at.astimezone(_zone(clinic))
                click.echo(f"{site}: {_named(recall)}, recalled {at:%Y-%m-%d %H:%M}")
                with store.read() as connection:
                    found = touched(connection, site, recall)
                for use in found.uses:
                    click.echo(_use(use, clinic))


def _recall(wish: Wish, *, carry_out: bool) -> None:
    with desk() as opened:
        planned = [
            made
            for site in _sites(opened.store)
            if (made := _at_site(opened, site, wish)) is not None
        ]
        for made in planned if carry_out else ():
            opened.exchange.set_up(made.site, made.events, made.keep)
    click.echo("Carried out." if carry_out else DRY)


def _at_site(opened: wiring.Desk, site: str, wish: Wish) -> SetUp | None:
    """What is to be written there, once it has been shown; None where it is known already.

    All sites are worked out before any is written to: what is refused at one is done at none.
    """
    at, stands = moment(opened), standing(opened.store, site)
    recall = recall_of(wish, at)
    with opened.store.read() as connection:
        found = touched(connection, site, recall)
    if is_known(stands.clinic, recall):
        found.also = still_standing(stands.clinic, found)
        if not found.also:
            click.echo(f"{site}: recalled before; nothing to do.")
            return None
        click.echo(f"{site}: recalled before; a correction has brought more under it.")
    for line in (*_told(site, stands.clinic, found), *_not_noted(recall, stands.clinic, found)):
        click.echo(line)
    return recalled(site, recall, wish, found, stands)


def _sites(store: Store) -> list[str]:
    with store.read() as connection:
        return [site for site in sites_in(connection) if site != PROGRAMME]


def _clinic(store: Store, site: str) -> Clinic:
    with store.read() as connection:
        return load(connection, site).clinic


# -- what is said -------------------------------------------------------------------------------


def _named(recall: Recall) -> str:
    if recall.what == FIGURE:
        return f"{recall.product}.{recall.mark} {recall.value}"
    kind = "lot" if recall.what == LOT else "strip lot"
    return f"{kind} {recall.mark} of {recall.product}"


def _told(site: str, clinic: Clinic, found: Touched) -> Iterator[str]:
    if found.since is None and not found.tags:
        yield f"{site}: nothing of it in the record. Its phones are warned of it."
        return
    since = _when(found.since, clinic) if found.since else "before the record"
    yield (
        f"{site}: since {since}. Containers and strips: {', '.join(found.tags) or 'none'}. "
        f"Open cycles: {_devices(found, found.running)}. "
        f"Releases not used: {_devices(found, found.released)}. "
        f"Uses to look back for: {len(found.uses)}."
    )
    for use in found.uses:
        yield _use(use, clinic)


def _not_noted(recall: Recall, clinic: Clinic, found: Touched) -> Iterator[str]:
    """S18: what no cycle rests on by the record, though it may have been cleaned with it."""
    if recall.what != LOT or recall.product not in shipped().detergents:
        return
    since = _when(found.since, clinic) if found.since else "its first use, which nobody noted"
    yield f"  No cycle notes its detergent's lot: look back for all cleaned since {since}."


def _devices(found: Touched, cycles: tuple[str, ...]) -> str:
    return ", ".join(found.devices[cycle] for cycle in cycles) or "none"


def _use(use: Use, clinic: Clinic) -> str:
    patient = f"patient {use.patient}" if use.patient else "code pending"
    return f"  {_when(use.at, clinic)}  {use.device:<4}  {patient}  cycle {use.cycle}"


def _when(moment_: datetime, clinic: Clinic) -> str:
    return f"{moment_.astimezone(_zone(clinic)):%Y-%m-%d %H:%M}"


def _zone(clinic: Clinic) -> ZoneInfo:
    return ZoneInfo(clinic.site.zone if clinic.site else "UTC")

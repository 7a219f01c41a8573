"""Cycles listed, shown, exported; an entry corrected; the chain verified, rows compared."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from bot.cli.at_site import desk, moment, reading, site_option, the_site
from bot.exports.as_csv import files_of
from bot.exports.as_json import cycle_lines, lines
from bot.exports.as_text import as_text
from bot.record.chain import verify_all
from bot.record.rebuild import Difference, rebuild
from bot.record.written import all_written, heads, sites_in
from bot.registers.add import standing
from bot.registers.correct import Wish, correct
from bot.reports.cycles import Listed, cycles, find_cycle
from bot.reports.timeline import Timeline, corrections, timeline, timelines
from bot.store.live import load
from bot.store.people import names_of
from bot.store.transaction import Store
from flows.calculations.calendar import local_day
from flows.parts.clinic import Clinic


@click.group()
def command() -> None:
    """Cycles listed, shown, exported; an entry corrected; the chain verified, rows compared."""


# -- list and show ------------------------------------------------------------------------------


@command.command("list")
@click.option("--device", help="Only this device's, like V1.")
@click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="Only those begun on this day.")
@site_option
def list_(device: str | None, day: datetime | None, site: str | None) -> None:
    """Every cycle in a line: id, device, when, who, how it ended, its code."""
    with reading() as store:
        which = the_site(store, site)
        with store.read() as connection:
            known = cycles(connection, which)
            clinic, names = load(connection, which).clinic, names_of(connection, which)
    for each in known:
        if _is_wanted(each, device, day.date() if day else None, clinic):
            click.echo(_in_a_line(each, clinic, names))


def _is_wanted(listed: Listed, device: str | None, day: date | None, clinic: Clinic) -> bool:
    if device and listed.device != device.upper():
        return False
    return day is None or local_day(listed.began, _zone(clinic)) == day


def _in_a_line(listed: Listed, clinic: Clinic, names: Mapping[str, str]) -> str:
    began = listed.began.astimezone(_zone(clinic))
    who = names.get(listed.person or "", "(erased)")
    return (
        f"{listed.cycle}  {listed.device:<4}  {began:%Y-%m-%d %H:%M}  {who:<12}  "
        f"{listed.outcome:<10}  {listed.code}"
    ).rstrip()


@command.command("show")
@click.argument("cycle")
@site_option
def show(cycle: str, site: str | None) -> None:
    """One cycle as text: CYCLE is its id, its release code, or a device for its latest."""
    with reading() as store:
        click.echo(as_text(_timeline(store, the_site(store, site), cycle)), nl=False)


# -- export -------------------------------------------------------------------------------------


@command.command("export")
@click.option("--format", "form", type=click.Choice(["text", "json", "csv"]), required=True)
@click.option("--cycle", help="Only this one: its id, its release code, or a device.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="A directory for the files. Else to standard output; for csv the table of cycles.",
)
@site_option
def export(form: str, cycle: str | None, out: Path | None, site: str | None) -> None:
    """Everything, or one cycle, as text, as JSON Lines with hashes, or as CSV tables."""
    with reading() as store:
        which = the_site(store, site)
        one = _timeline(store, which, cycle) if cycle else None
        files = _exported(store, which, one, form)
    if out is None:
        click.echo(next(iter(files.values())), nl=False)
        return
    out.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (out / name).write_text(text, encoding="utf-8", newline="")
        click.echo(out / name)


def _exported(store: Store, site: str, one: Timeline | None, form: str) -> Mapping[str, str]:
    """The files, by name; the first is the one for standard output."""
    stem = f"{site}-{one.cycle}" if one else site
    with store.read() as connection:
        if form == "json":
            everything = lines(all_written(connection, site), corrections(connection, site))
            told = cycle_lines(one) if one else everything
            return {f"{stem}.jsonl": "".join(f"{line}\n" for line in told)}
        chosen = [one] if one else list(timelines(connection, site))
    if form == "csv":
        return {f"{stem}-{name}": text for name, text in files_of(chosen).items()}
    return {f"{stem}.txt": "\n".join(map(as_text, chosen))}


def _timeline(store: Store, site: str, named: str) -> Timeline:
    with store.read() as connection:
        return timeline(connection, site, find_cycle(connection, site, named))


# -- correct ------------------------------------------------------------------------------------


@command.command("correct")
@click.argument("seq", type=click.IntRange(min=1, max=999_999_999))
@click.argument("field")
@click.argument("value")
@click.option("--reason", required=True, help="In writing; kept where it can be erased.")
@site_option
def correct_(*, seq: int, field: str, value: str, reason: str, site: str | None) -> None:
    """Say that FIELD of entry SEQ should have been VALUE, like: correct 57 lot L8.

    Entries are never changed: this writes a new one, which every export shows beside the other.
    A date that was too late moves earlier by it, and that of its lot and of what was poured from
    it; none moves later. What was poured before its jug was activated is condemned, and what was
    topped up; strips that passed no test judge nothing. Nothing else that is so now changes: what
    stands wrong is thrown away by DISCARD, and a device that must not be used is quarantined by
    FAULT. A lot that cannot be read is NONE.
    """
    wish = Wish(seq, field, value, reason)
    with desk() as opened:
        which = the_site(opened.store, site)
        stands = standing(opened.store, which)
        made = correct(opened.store, which, wish, moment(opened), stands)
        opened.exchange.facts(which, made.events, also=made.keep)
        with opened.store.read() as connection:
            number = corrections(connection, which)[-1][0]
    click.echo(f"Entry {number} says so of entry {seq}, which stays as it was written.")
    for remark in made.remarks:
        click.echo(remark)


# -- verify and rebuild -------------------------------------------------------------------------


@command.command("verify")
def verify() -> None:
    """Check every chain, its guards and its seals; where one is broken, say at which entry."""
    with reading() as store, store.read() as connection:
        problems = verify_all(connection)
        ends = heads(connection)
    if problems:
        raise click.ClickException("\n".join(map(str, problems)))
    for site, count, head in ends:
        click.echo(f"{site}: whole, {count} entries, head {head[:8]}")


@command.command("rebuild")
@click.option("--check", is_flag=True, help="Change nothing; fail where something differs.")
def rebuild_(*, check: bool) -> None:
    """Make the rows of every site say again what its record says, and name what differed."""
    with reading() as store:
        with store.read() as connection:
            sites = sites_in(connection)
        found = [each for site in sites for each in rebuild(store, site, check=check)]
    told = [line for each in found for line in _told(each)]
    if found and check:
        raise click.ClickException("\n".join(told))
    put_right = f"{len(found)} rows put right" if found else "every row says what the record says"
    click.echo("\n".join([*told, f"{', '.join(sites) or 'No site'}: {put_right}."]))


def _told(difference: Difference) -> Iterator[str]:
    yield f"{difference.site}, {difference.room} {difference.key}: the row says"
    yield f"  {difference.row or 'nothing'}"
    yield "and the record"
    yield f"  {difference.record or 'nothing'}"


def _zone(clinic: Clinic) -> ZoneInfo:
    return ZoneInfo(clinic.site.zone if clinic.site else "UTC")

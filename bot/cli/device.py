"""Enrol devices, take them back, list how they stand."""

import click

from bot.cli.at_site import change, enter, reading, site_option, the_site
from bot.clock import machine_time
from bot.protocols import today
from bot.registers.change import return_device
from bot.store.live import load
from flows.protocols.model import Chemistry
from flows.rules.release import is_ready, why_not


@click.group()
def command() -> None:
    """Enrol devices, take them back, list how they stand."""


@command.command("add")
@click.argument("label")
@click.argument("model")
@site_option
def add_(label: str, model: str, site: str | None) -> None:
    """Enrol the device with LABEL, like V1; MODEL is that of a protocol, like handheld_probe."""
    enter(site, "devices", f"device {label}", {"label": label, "model": model})
    click.echo(f"{label.upper()} is enrolled, and NOT READY until it has been cleaned.")
    chemistry = _soaked_in(model, site)
    click.echo(
        f"It is soaked in {chemistry.title}. Its figures, and {len(chemistry.disputes)} open "
        f"questions about it: soakbell protocol show {chemistry.name}"
    )


def _soaked_in(model: str, site: str | None) -> Chemistry:
    with reading() as store:
        which = the_site(store, site)
        with store.read() as connection:
            return today(load(connection, which).clinic)(model).chemistry


@command.command("return")
@click.argument("label")
@click.option("--checked-with", type=int, help="Out of quarantine: the supervisor's number.")
@site_option
def return_(label: str, checked_with: int | None, site: str | None) -> None:
    """Take LABEL back from a loan, a repair or quarantine: not ready, whatever it was."""
    change(
        site,
        lambda at, moment, stands: return_device(at, label, moment, stands, checked_with),
    )
    click.echo(f"{label.upper()} is back, and NOT READY until it has been cleaned.")


@command.command("list")
@site_option
def list_(site: str | None) -> None:
    """Every device, and whether it is ready now."""
    now = machine_time()
    with reading() as store:
        which = the_site(store, site)
        with store.read() as connection:
            devices = load(connection, which).clinic.devices.values()
    for device in devices:
        ready = is_ready(device, now)
        stands = (
            f"READY, code {device.last_code}" if ready else f"NOT READY: {why_not(device, now)}"
        )
        click.echo(f"{device.label:<4}  {device.model}  {stands}")

"""The invented district, ready to text."""

import signal
import socket
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from secrets import token_hex

import click
from werkzeug.serving import BaseWSGIServer, make_server

from bot import wiring
from bot.cli.district import District, read_district
from bot.clock import FastClock, machine_time
from bot.record.read import all_entries
from bot.store.live import load
from bot.store.transaction import Store
from bot.web import create_app
from bot.web.phone import phone
from bot.web.phones import Handset, Holder, Phones, Screens
from flows.parts.moment import Moment

LOOPBACK = "127.0.0.1"


@click.command()
@click.option(
    "--keep",
    type=click.Path(file_okay=False, path_type=Path),
    help="Keep the database in this directory, and go on with it the next time.",
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    help="The page's port on this machine. Otherwise any that is free.",
)
def command(*, keep: Path | None, port: int) -> None:
    """Open an invented clinic with phones in your browser.

    It has a database of its own, listens on this machine only, and sends nothing anywhere. Its
    clock can run faster, so that a whole cycle takes a minute. Ctrl-C ends it.
    """
    district = read_district()
    with _folder(keep) as folder, socket.create_server((LOOPBACK, port)) as listening:
        path = folder / "soakbell.db"
        clock = FastClock(district.morning(machine_time()))
        bot, screens = wiring.demo(f"sqlite:///{path}", clock)
        with closing(bot):
            begin(district, bot, clock)
            phones = phones_of(district, bot, clock, screens)
            app = create_app(bot, None, phone(phones))
            server = make_server(LOOPBACK, port, app, threaded=True, fd=listening.fileno())
            bot.engine.start()
            _serve(server, _welcome(phones.title, server.port, path, kept=keep is not None))
    click.echo("\nThe demo has ended.")


def begin(district: District, bot: wiring.Bot, clock: FastClock) -> None:
    """Settle the district, or go on where a kept one was left."""
    left_at = _left_at(bot.store, district.site)
    if left_at is None:
        district.settle(bot.exchange, Moment(clock.now(), token_hex(16)))
    else:
        clock.skip_to(left_at)


def _left_at(store: Store, site: str) -> datetime | None:
    with store.read() as connection:
        *_, last = (None, *all_entries(connection, site))
    return last.stamped.at if last else None


def phones_of(district: District, bot: wiring.Bot, clock: FastClock, screens: Screens) -> Phones:
    numbers = dict.fromkeys(each.phone for each in district.people)
    return Phones(
        site=district.site,
        title=_title(bot.store, district.site),
        zone=district.zone,
        handsets=tuple(Handset(number, _holders(district, number)) for number in numbers),
        store=bot.store,
        clock=clock,
        screens=screens,
        hears=bot.exchange.text,
        rings=bot.exchange.ring_due,
    )


def _title(store: Store, site: str) -> str:
    with store.read() as connection:
        known = load(connection, site).clinic.site
    return known.called if known else site


def _holders(district: District, number: str) -> tuple[Holder, ...]:
    return tuple(
        Holder(each.name, each.number, each.role, each.level, each.pin)
        for each in district.on(number)
    )


@contextmanager
def _folder(keep: Path | None) -> Iterator[Path]:
    if keep is None:
        with tempfile.TemporaryDirectory(prefix="soakbell-demo-") as fresh:
            yield Path(fresh)
    else:
        keep.mkdir(parents=True, exist_ok=True)
        yield keep


def _welcome(title: str, port: int, path: Path, *, kept: bool) -> str:
    until = "kept" if kept else "gone when the demo ends; --keep DIR keeps one"
    return (
        f"Soakbell demo: {title}, an invented clinic. Nothing leaves this machine.\n\n"
        f"  Open http://{LOOPBACK}:{port} in a browser, and text CLEAN V1.\n"
        "  To text from a terminal instead: soakbell chat\n"
        f"  Its database: {path} ({until})\n\n"
        "Ctrl-C ends it."
    )


def _serve(server: BaseWSGIServer, welcome: str) -> None:
    """Until Ctrl-C, or until it is told to go; also where a script has started it deaf to both."""
    # Before anybody reads the welcome: whoever has read it may end it at once.
    for ends in (signal.SIGINT, signal.SIGTERM):
        signal.signal(ends, signal.default_int_handler)
    with suppress(KeyboardInterrupt):
        click.echo(welcome)
        sys.stdout.flush()
        server.serve_forever()
    server.server_close()

"""A phone in the terminal; `@+12m` moves the clock."""

import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime, timedelta
from hashlib import sha256
from itertools import count
from pathlib import Path
from secrets import token_hex

import click

from bot import wiring
from bot.cli.district import Character, District, read_district
from bot.cli.handset import KEYS, NoSuchKey, Table
from bot.clock import HandClock, machine_time
from flows.parts.clinic import Level
from flows.parts.moment import Moment


@click.command()
@click.option("--coach/--brief", default=True, help="Whose phone: a step a text, or few texts.")
@click.option("--seed", help="Equal seeds draw equal bell numbers and codes.")
@click.option(
    "--start",
    type=click.DateTime(["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"]),
    help="The clinic's time to begin at, like '2026-03-02 09:00'. Otherwise today, 09:00.",
)
@click.option(
    "--pace",
    type=click.IntRange(0, 3600),
    default=10,
    show_default=True,
    help="Seconds that pass before each text you type: hands need time.",
)
@click.option("--count", "counts", is_flag=True, help="Count septets and segments of each text.")
def command(
    *, coach: bool, seed: str | None, start: datetime | None, pace: int, counts: bool
) -> None:
    """Text the invented clinic from this terminal; you hold its clock.

    Each line is a text: CLEAN V1 to begin, MENU for all words. @+12m, @+90s and @+1h let time
    pass, @bell lets it pass to the next bell, @who 2 picks up another phone, @who lists them.
    Everything is on a database that is gone afterwards. In a script, a line that begins with #
    is left out.
    """
    district = read_district()
    now = start.replace(tzinfo=district.zone) if start else district.morning(machine_time())
    tokens = drawn_from(token_hex(16) if seed is None else seed)
    by_hand = not sys.stdin.isatty()
    with tempfile.TemporaryDirectory(prefix="soakbell-chat-") as folder:
        clock = HandClock(now)
        arrived: list[tuple[str, str]] = []
        bot, engine = wiring.chat(
            f"sqlite:///{Path(folder) / 'soakbell.db'}",
            clock,
            lambda number, body: arrived.append((number, body)),
            tokens.__next__,
        )
        with closing(bot):
            district.settle(bot.exchange, Moment(now, next(tokens)))
            table = Table(
                district=district,
                bot=bot,
                look=engine.look,
                clock=clock,
                arrived=arrived,
                holding=first_of(district, Level.COACH if coach else Level.BRIEF),
                say=click.echo,
                pace=timedelta(seconds=pace),
                counts=counts,
                echoes=by_hand,
            )
            converse(table, is_script=by_hand)


def drawn_from(seed: str) -> Iterator[str]:
    """Tokens without end, the same for the same seed."""
    return (sha256(f"{seed}/{number}".encode()).hexdigest() for number in count())


def first_of(district: District, level: Level) -> Character:
    """The first person of that level who has a phone of their own."""
    own = (each for each in district.people if len(district.on(each.phone)) == 1)
    return next(each for each in own if each.level is level)


def converse(table: Table, *, is_script: bool) -> None:
    """Until there are no more lines. In a script a line that is wrong ends it, with its reason."""
    if not is_script:
        click.echo(f"Each line is a text. {KEYS}. Ctrl-D leaves.")
    table.pick_up(table.holding)
    for line in script() if is_script else prompted(table):
        try:
            table.take(line)
        except NoSuchKey as mistake:
            if is_script:
                raise
            click.echo(mistake.message)
    if table.counts:
        click.echo(f"Typed: {table.typed}.\nHeard: {table.heard}.")


def script() -> Iterator[str]:
    return (line.strip() for line in sys.stdin)


def prompted(table: Table) -> Iterator[str]:
    """Lines as somebody types them; Ctrl-D and Ctrl-C both leave."""
    while True:
        try:
            yield input(f"{table.holding.name}> ").strip()
        except (EOFError, KeyboardInterrupt):
            click.echo()
            return

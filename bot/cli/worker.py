"""Bells and texts without the web, beside other processes on the same database."""

import os
import signal
import threading
from typing import Any

import click

from bot import wiring
from bot.settings import read_settings


@click.command()
def command() -> None:
    """Ring the bells and send the texts, until it is stopped; the webhooks are served elsewhere.

    Rows are claimed, so any number of these may run.
    """
    bot = wiring.texting(read_settings(os.environ))
    stopped = threading.Event()

    def stop(*_: Any) -> None:
        stopped.set()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, stop)
    bot.engine.start()
    click.echo("Ringing bells and sending texts. Ctrl-C stops it.")
    try:
        stopped.wait()
    finally:
        bot.close()

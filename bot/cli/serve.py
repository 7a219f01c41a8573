"""The bot for a clinic: webhooks, bells and texts in one process."""

import os
from typing import Any

import click
from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]

from bot import wiring
from bot.settings import Settings, read_settings
from bot.web import Webhooks, create_app

THREADS = 8
"""A webhook waits for its turn at the database and for nothing else."""


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=click.IntRange(1, 65535), default=8080, show_default=True)
def command(host: str, port: int) -> None:
    """Serve the gateway's webhooks, ring the bells and send the texts, until it is stopped.

    All settings come from the environment, and whatever is wrong with them is said at once.
    More machines on the same PostgreSQL: serve or worker on each of them.
    """
    settings = read_settings(os.environ)
    # A database that cannot be had is said here in a line, and not by a worker that dies of it.
    wiring.desk(settings.database_url).store.close()
    click.echo(
        f"Listening on http://{host}:{port}; the gateway is to call "
        f"{settings.public_url}/sms/inbound"
    )
    Server(settings, host, port).run()


class Server(BaseApplication):  # type: ignore[misc]
    """Gunicorn, told here and not by files or the command line what to do."""

    def __init__(self, settings: Settings, host: str, port: int) -> None:
        self._settings = settings
        self._bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
        self._bot: wiring.Bot | None = None
        super().__init__()

    def load_config(self) -> None:
        told: dict[str, Any] = {
            "bind": self._bind,
            # One: of two neither would know of the other's engine, and one engine is enough.
            "workers": 1,
            "worker_class": "gthread",
            "threads": THREADS,
            "loglevel": "warning",
            "worker_exit": self._close,
        }
        for name, value in told.items():
            self.cfg.set(name, value)

    def load(self) -> Any:
        """Called in the worker: threads and connections do not outlive a fork."""
        self._bot = wiring.texting(self._settings)
        self._bot.engine.start()
        gateway = self._settings.gateway
        return create_app(self._bot, Webhooks(self._settings.public_url, gateway.tokens))

    def _close(self, _server: Any, _worker: Any) -> None:
        if self._bot is not None:
            self._bot.close()

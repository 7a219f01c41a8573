"""The bot for a clinic: webhooks, bells and texts in one process, or the webhooks alone."""

import os
import socket
from typing import Any

import click
from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]
from gunicorn.glogging import Logger  # type: ignore[import-untyped]

from bot import wiring
from bot.logs import OneLine
from bot.settings import Settings, read_settings
from bot.web import Webhooks, create_app

THREADS = 8
"""So many webhooks wait at once, and so go together. Sixteen gained nothing that one could tell
from chance, and each keeps a connection."""


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=click.IntRange(1, 65535), default=8080, show_default=True)
@click.option(
    "--web-only", is_flag=True, help="Ring and send nothing: a worker on the same record does."
)
def command(host: str, port: int, *, web_only: bool) -> None:
    """Serve the gateway's webhooks, ring the bells and send the texts, until it is stopped.

    All settings come from the environment, and whatever is wrong with them is said at once.
    More processes on the same record, on any number of machines where that is a PostgreSQL:
    serve or worker, each bell is rung and each text sent by one of them.
    """
    settings = read_settings(os.environ)
    # A database that cannot be had is said here in a line, and not by a worker that dies of it.
    wiring.desk(settings.database_url).store.close()
    listening = _listen(host, port)
    click.echo(
        f"Listening on http://{host}:{port}; the gateway is to call "
        f"{settings.public_url}/sms/inbound"
    )
    Server(settings, listening, rings=not web_only).run()


def _listen(host: str, port: int) -> socket.socket:
    """The address, taken here: gunicorn would try a taken one for seconds and fill the log."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family)
    except OSError as error:
        because = (error.strerror or str(error)).partition(" (")[0]
        raise click.ClickException(
            f"Nothing can listen on {host}, port {port}: {because}. Stop what does, or choose "
            "another --host or --port."
        ) from error


class Lines(Logger):  # type: ignore[misc]
    """Gunicorn's own log, in the form of ours."""

    def setup(self, cfg: Any) -> None:
        super().setup(cfg)
        for handler in self.error_log.handlers:
            handler.setFormatter(OneLine())


class Server(BaseApplication):  # type: ignore[misc]
    """Gunicorn, told here and not by files or the command line what to do."""

    def __init__(self, settings: Settings, listening: socket.socket, *, rings: bool) -> None:
        self._settings = settings
        self._rings = rings
        self._bind = f"fd://{listening.detach()}"
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
            "logger_class": Lines,
            "worker_exit": self._close,
        }
        for name, value in told.items():
            self.cfg.set(name, value)

    def load(self) -> Any:
        """Called in the worker: threads and connections do not outlive a fork."""
        self._bot = wiring.texting(self._settings)
        if self._rings:
            self._bot.engine.start()
        gateway = self._settings.gateway
        return create_app(self._bot, Webhooks(self._settings.public_url, gateway.tokens))

    def _close(self, _server: Any, _worker: Any) -> None:
        if self._bot is not None:
            self._bot.close()

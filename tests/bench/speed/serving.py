"""One of the two servers that are compared: `python -m tests.bench.speed.serving bot|bare ...`.

The same gunicorn, the same worker class and threads. The bot is without its engine: ringing and
sending is the business of a worker process beside it.
"""

import os
import socket
import sys
from collections.abc import Callable
from typing import Any

from bot import wiring
from bot.cli.serve import Server
from bot.settings import Settings, read_settings
from bot.web import Webhooks, create_app
from tests.bench.speed.bare import bare_app

Make = Callable[[Settings, Webhooks], Any]


def bot_app(settings: Settings, webhooks: Webhooks) -> Any:
    return create_app(wiring.texting(settings), webhooks)


APPS: dict[str, Make] = {"bot": bot_app, "bare": bare_app}


class Compared(Server):
    """The product's own server, with another application and as many processes as wanted."""

    def __init__(
        self, settings: Settings, listening: socket.socket, make: Make, processes: int
    ) -> None:
        self._make = make
        self._processes = processes
        self._told = settings
        super().__init__(settings, listening, rings=False)

    def load_config(self) -> None:
        super().load_config()
        self.cfg.set("workers", self._processes)

    def load(self) -> Any:
        webhooks = Webhooks(self._told.public_url, self._told.gateway.tokens)
        return self._make(self._told, webhooks)


def main(which: str, port: str, processes: str) -> None:
    settings = read_settings(os.environ)
    listening = socket.create_server(("127.0.0.1", int(port)))
    Compared(settings, listening, APPS[which], int(processes)).run()


if __name__ == "__main__":
    main(*sys.argv[1:])

"""The real bot and the gateway's stand-in, over HTTP in both directions."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread

from flask import Flask
from sqlalchemy import select
from werkzeug.serving import make_server

from bot.settings import GatewaySettings, Secret, Settings
from bot.store.tables import outbox
from bot.web import Webhooks, create_app
from bot.wiring import texting
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, gateway
from tests.web.clinic import PHONE, set_up


@contextmanager
def served(app: Flask, server_port: int = 0) -> Iterator[int]:
    server = make_server("127.0.0.1", server_port, app, threaded=True)
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    try:
        yield server.port
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def free_port() -> int:
    with served(Flask("free")) as port:
        return port


def test_a_text_comes_in_its_answer_goes_out_and_the_report_on_it_comes_back(
    database: str,
) -> None:
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with gateway() as carrier:
        settings = Settings(
            Secret(database),
            url,
            Secret("s" * 32),
            GatewaySettings(ACCOUNT, (Secret(TOKEN),), NUMBER, carrier.url),
        )
        bot = texting(settings)
        set_up(bot)
        with served(create_app(bot, Webhooks(url, settings.gateway.tokens)), port):
            came_in = carrier.calls_inbound(url, carrier.is_texted(PHONE, "MENU"))
            bot.sender.send_due()
            (sent,) = carrier.taken
            reported = carrier.calls_status(sent, "delivered")
        with bot.store.read() as connection:
            (row,) = connection.execute(select(outbox))
        bot.close()

    assert (came_in, reported) == (200, 204)
    assert sent.to == PHONE
    assert (row.state, row.gateway_sid, row.last_status) == ("sent", sent.sid, "delivered")

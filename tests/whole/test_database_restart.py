"""The database goes away while a text comes and a bell is due, and comes back: nothing is lost."""

import logging
from collections.abc import Callable, Iterator
from datetime import timedelta
from threading import Event

import pytest
from sqlalchemy import text

from bot import wiring
from bot.clock import machine_time
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.settings import Secret, read_settings
from bot.web import Webhooks, create_app
from bot.wiring import Bot
from flows.parts.events import DetergentSoakBegan
from tests.kit.database import Postgresql
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, Message, StandIn, gateway
from tests.kit.quick_clinic import SITE, WORKERS, settle
from tests.kit.shell import MINUTE
from tests.kit.signing import signed

PUBLIC = "https://bot.example.org"
ENOUGH_S = 60
ANN = WORKERS[0]


@pytest.fixture
def line() -> Iterator[StandIn]:
    with gateway() as stand_in:
        stand_in.now = machine_time()
        yield stand_in


@pytest.fixture
def bot(line: StandIn, database: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[Bot]:
    monkeypatch.setattr(wiring, "FETCH_EVERY", timedelta(seconds=0.3))
    settings = {
        "SOAKBELL_DATABASE_URL": database,
        "SOAKBELL_PUBLIC_URL": PUBLIC,
        "SOAKBELL_SECRET_KEY": "k" * 40,
        "TWILIO_ACCOUNT_SID": ACCOUNT,
        "TWILIO_AUTH_TOKEN": TOKEN,
        "TWILIO_FROM": NUMBER,
        "TWILIO_API_BASE": line.url,
    }
    made = wiring.texting(read_settings(settings))
    settle(made, line.now)
    yield made
    made.close()


def until(what: str, holds: Callable[[], bool]) -> None:
    tick, looks = Event(), ENOUGH_S * 20
    while not holds() and looks:
        tick.wait(0.05)
        looks -= 1
    assert looks, f"{what} has not happened"


def rows(bot: Bot, statement: str) -> list[tuple[object, ...]]:
    with bot.store.read() as connection:
        return [tuple(row) for row in connection.execute(text(statement))]


def form(message: Message) -> dict[str, str]:
    return {"MessageSid": message.sid, "From": message.sender, "To": NUMBER, "Body": message.body}


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_database_that_goes_and_comes_back_loses_no_text_and_rings_late(
    bot: Bot, line: StandIn, postgresql: Postgresql, caplog: pytest.LogCaptureFixture
) -> None:
    web = create_app(bot, Webhooks(PUBLIC, (Secret(TOKEN),))).test_client()

    def knocks(message: Message) -> int:
        said = form(message)
        path = f"{PUBLIC}/sms/inbound"
        return web.post("/sms/inbound", data=said, headers=signed(TOKEN, path, said)).status_code

    def health() -> tuple[int, object]:
        answer = web.get("/healthz")
        return answer.status_code, answer.get_json()["database"]

    began = knocks(line.is_texted(ANN, "CLEAN V1"))
    ((cycle,),) = rows(bot, "SELECT cycle FROM entry WHERE kind = 'CycleBegan'")
    due = bot.clock.now() - 2 * MINUTE
    bot.exchange.facts(SITE, (DetergentSoakBegan(str(cycle), "V1", due, 71),))
    overdue = health()

    with postgresql.away():
        bot.engine.start()
        missed = line.is_texted(ANN, "MENU")
        refused, away = knocks(missed), health()
        until("a look in vain", lambda: "ring failed" in caplog.text)

    until("the bell", lambda: health() == (200, "PostgreSQL"))
    until("the text", lambda: any("USED V1" in body for body in line.bodies))
    again = knocks(missed)
    bot.engine.stop()

    assert (began, overdue, refused, away, again) == (
        200, (503, "PostgreSQL"), 500, (503, "away"), 200,
    )  # fmt: skip
    assert rows(bot, "SELECT count(*) FROM entry WHERE kind = 'BellRang'") == [(1,)]
    assert rows(bot, f"SELECT state FROM inbox WHERE sid = '{missed.sid}'") == [("handled",)]  # noqa: S608
    assert len([body for body in line.bodies if "this bell is 2 min" in body]) == 1
    assert said_of(caplog, "ring") == ["ring failed", "ring works"]
    with bot.store.read() as connection:
        assert verify(connection, SITE) == []
    assert rebuild(bot.store, SITE) == []


def said_of(caplog: pytest.LogCaptureFixture, duty: str) -> list[str]:
    lines = (record for record in caplog.records if record.levelno >= logging.WARNING)
    said = (record.getMessage() for record in lines if record.name == "bot.engines.scheduler")
    return [" ".join(line.split()[:2]) for line in said if line.startswith(f"{duty} ")]

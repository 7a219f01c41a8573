"""The real bot, the demo and the terminal: the same parts, put together three ways."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from bot.clock import FastClock, HandClock, RealClock
from bot.engines.scheduler import Scheduler
from bot.inbox import Inbound
from bot.record.chain import verify_all
from bot.record.seal import sealed_heads
from bot.settings import read_settings
from bot.wiring import Bot, chat, demo, texting
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, gateway
from tests.kit.shell import ANN, NINE, SET_UP, SITE, register

AT_MOST = timedelta(seconds=30)


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'soakbell.db'}"


def text(body: str, sid: str = "SM1") -> Inbound:
    return Inbound(sid, ANN, body, NINE)


def test_in_the_demo_a_text_is_answered_on_the_phone_by_itself(url: str) -> None:
    bot, phones = demo(url, FastClock(NINE))
    bot.exchange.set_up(SITE, SET_UP, register)
    bot.engine.start()

    bot.exchange.text(text("clean v1"))
    (shown,) = phones.wait(ANN, 0, AT_MOST)
    bot.close()

    assert "Reply READY" in shown.body


def test_in_the_demo_a_bell_rings_when_the_clock_is_moved_ahead(url: str) -> None:
    clock = FastClock(NINE)
    bot, phones = demo(url, clock)
    bot.exchange.set_up(SITE, SET_UP, register)
    bot.engine.start()
    bot.exchange.text(text("clean v1"))
    phones.wait(ANN, 0, AT_MOST)

    clock.skip_to(NINE + timedelta(minutes=11))
    (again,) = phones.wait(ANN, 1, AT_MOST)[:1]
    bot.close()

    assert again.place == 2


def test_in_the_terminal_whoever_has_the_clock_looks(url: str) -> None:
    shown: list[tuple[str, str]] = []
    bot, engine = chat(url, HandClock(NINE), lambda number, body: shown.append((number, body)))
    bot.exchange.set_up(SITE, SET_UP, register)

    bot.exchange.text(text("clean v1"))
    before = list(shown)
    engine.look()
    bot.close()

    assert before == []
    assert [number for number, _ in shown] == [ANN]


@pytest.fixture
def real(url: str) -> Iterator[Bot]:
    with gateway() as stand_in:
        made = texting(
            read_settings(
                {
                    "SOAKBELL_DATABASE_URL": url,
                    "SOAKBELL_PUBLIC_URL": "https://bot.example.org",
                    "SOAKBELL_SECRET_KEY": "s" * 32,
                    "TWILIO_ACCOUNT_SID": ACCOUNT,
                    "TWILIO_AUTH_TOKEN": f"{TOKEN},older",
                    "TWILIO_FROM": NUMBER,
                    "TWILIO_API_BASE": stand_in.url,
                }
            )
        )
        yield made
        made.close()


def test_the_real_one_tells_the_machine_s_time_and_wakes_by_itself(real: Bot) -> None:
    assert isinstance(real.clock, RealClock)
    assert isinstance(real.engine, Scheduler)


def test_the_real_one_sends_by_the_gateway(url: str) -> None:
    with gateway() as stand_in:
        bot = texting(
            read_settings(
                {
                    "SOAKBELL_DATABASE_URL": url,
                    "SOAKBELL_PUBLIC_URL": "https://bot.example.org",
                    "SOAKBELL_SECRET_KEY": "s" * 32,
                    "TWILIO_ACCOUNT_SID": ACCOUNT,
                    "TWILIO_AUTH_TOKEN": TOKEN,
                    "TWILIO_FROM": NUMBER,
                    "TWILIO_API_BASE": stand_in.url,
                }
            )
        )
        bot.exchange.set_up(SITE, SET_UP, register)
        bot.exchange.text(text("clean v1"))

        bot.sender.send_due()
        bot.close()

        (sent,) = stand_in.messages
        assert sent.to == ANN
        assert sent.callback.startswith("https://bot.example.org/sms/status?ref=")


def test_a_bot_does_not_show_its_secret(real: Bot) -> None:
    assert "s" * 32 not in repr(real)


def test_a_bot_that_runs_seals_its_record(url: str) -> None:
    bot, _ = demo(url, FastClock(NINE))
    bot.exchange.set_up(SITE, SET_UP, register)
    bot.engine.start()

    deadline = RealClock().now() + AT_MOST
    while not (seals := seals_of(bot)) and RealClock().now() < deadline:
        pass
    bot.close()

    assert seals[0][0] == 1


def seals_of(bot: Bot) -> list[tuple[int, str]]:
    with bot.store.read() as connection:
        assert verify_all(connection) == []
        return list(sealed_heads(connection, SITE))

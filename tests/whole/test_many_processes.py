"""Several real processes on one record, whichever database it is in: each bell once, one chain."""

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import timedelta
from threading import Event

import pytest

from bot import wiring
from bot.clock import machine_time
from bot.inbox import Inbound
from bot.record.chain import verify_all
from bot.record.read import all_entries
from bot.record.rebuild import rebuild
from bot.settings import read_settings
from bot.wiring import Bot
from flows.parts.events import BellRang, BellSet, CycleBegan, DetergentSoakBegan, TextFailed
from tests.cli.test_serve import ENOUGH_S, free_port, running, stopped
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, StandIn, gateway
from tests.kit.quick_clinic import DEVICES, SITE, WORKERS, settle

LATE = timedelta(minutes=2)
"""So late that each bell says so in a text of its own."""
BARE_BELLS = 40
"""Bells that only leave a trace; enough that every process finds some of them due at once."""

TOGETHER = {
    "sqlite": (("serve",), ("worker",)),
    "postgresql": (("serve", "--web-only"), ("worker",), ("worker",)),
}


@pytest.fixture
def line() -> Iterator[StandIn]:
    with gateway() as stand_in:
        stand_in.now = machine_time()
        # Long enough for another process to find the same text, if it could.
        stand_in.takes_s = 0.3
        yield stand_in


@pytest.fixture
def settings(line: StandIn, database: str) -> dict[str, str]:
    return {
        "SOAKBELL_DATABASE_URL": database,
        "SOAKBELL_PUBLIC_URL": f"http://127.0.0.1:{free_port()}",
        "SOAKBELL_SECRET_KEY": "k" * 40,
        "TWILIO_ACCOUNT_SID": ACCOUNT,
        "TWILIO_AUTH_TOKEN": TOKEN,
        "TWILIO_FROM": NUMBER,
        "TWILIO_API_BASE": line.url,
    }


@pytest.fixture
def bot(settings: dict[str, str]) -> Iterator[Bot]:
    """Its doors in this process; its engine is not started: what is due is for the others."""
    made = wiring.texting(read_settings(settings))
    settle(made, machine_time())
    yield made
    made.close()


def entries(bot: Bot) -> list[object]:
    with bot.store.read() as connection:
        return [entry.stamped.event for entry in all_entries(connection, SITE)]


def until(what: str, holds: Callable[[], bool]) -> None:
    tick, looks = Event(), ENOUGH_S * 20
    while not holds() and looks:
        tick.wait(0.05)
        looks -= 1
    assert looks, f"{what} has not happened"


def begin(bot: Bot) -> None:
    """Both workers begin; their probes should have come out of the detergent a while ago."""
    for number, device in zip(WORKERS, DEVICES, strict=True):
        bot.exchange.text(
            Inbound(f"SM-{device}", number, f"CLEAN {device}", bot.clock.now(), None)
        )
    due = bot.clock.now() - LATE
    soaks = [
        DetergentSoakBegan(each.cycle, each.device, due, 71)
        for each in entries(bot)
        if isinstance(each, CycleBegan)
    ]
    bells = [BellSet(f"bare-{number}", "strip", due) for number in range(BARE_BELLS)]
    bot.exchange.facts(SITE, [*soaks, *bells])


def test_each_bell_rings_once_and_the_chain_is_whole(
    bot: Bot, line: StandIn, settings: dict[str, str]
) -> None:
    url = settings["SOAKBELL_PUBLIC_URL"]
    commands = TOGETHER[bot.store.writing.dialect.name]
    with ExitStack() as stack:
        processes = []
        for command in commands:
            more = ("--port", url.rpartition(":")[2]) if command[0] == "serve" else ()
            processes.append(stack.enter_context(running(settings, *command, *more)))
        for process in processes:
            assert process.stdout is not None
            assert process.stdout.readline()

        begin(bot)
        taken = line.calls_inbound(url, line.is_texted(WORKERS[0], "MENU"))
        until(
            "every bell",
            lambda: sum(isinstance(each, BellRang) for each in entries(bot)) >= BARE_BELLS + 2,
        )
        until("every text", lambda: len(rung_for(line)) >= len(DEVICES))
        codes = [stopped(process) for process in processes]

    happened = entries(bot)
    rang = Counter(each.bell for each in happened if isinstance(each, BellRang))
    assert (taken, codes) == (200, [0] * len(commands))
    assert len(rang) == BARE_BELLS + 2
    assert {*rang.values()} == {1}
    assert Counter(rung_for(line)) == Counter(DEVICES)
    assert not any(isinstance(each, TextFailed) for each in happened)
    with bot.store.read() as connection:
        assert verify_all(connection) == []
    assert rebuild(bot.store, SITE) == []


def rung_for(line: StandIn) -> list[str]:
    """Whose detergent bell the gateway was given to carry, once for each time it was.

    It may be a few seconds later than `LATE`, and says so.
    """
    return [body[:2] for body in line.bodies if ": this bell is 2 min" in body]

"""A real server, a stand-in for the gateway, twenty SIGKILLs: nothing lost, no bell twice."""

import os
import random
import re
import signal
import socket
import subprocess
import sys
import urllib.error
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event, Thread

import pytest
from sqlalchemy import text

from bot import wiring
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.settings import read_settings
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, Message, StandIn, gateway
from tests.kit.quick_clinic import DEVICES, SITE, WORKERS, Hands, settle

KILLS = 20
LONGEST = timedelta(minutes=8)


def _now() -> datetime:
    return datetime.now(UTC)  # noqa: TID251  a real process runs on real time


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


@dataclass
class Server:
    """`soakbell serve`, killed and started again."""

    environment: dict[str, str]
    port: int
    log: Path
    process: subprocess.Popen[bytes] | None = None
    kills: int = 0
    caught_between: int = 0
    stopping: Event = field(default_factory=Event)

    def start(self) -> None:
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "bot", "serve", "--port", str(self.port)],
                env=self.environment,
                stdout=log,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )

    def kill(self) -> None:
        if self.process is not None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()

    def wait_until_up(self) -> None:
        while not self.stopping.wait(0.05):
            try:
                with socket.create_connection(("127.0.0.1", self.port), timeout=1):
                    return
            except OSError:
                continue

    def wait_for_texts(self, database: "Waiting") -> None:
        """Until something is committed and not yet sent, but not for ever."""
        for _ in range(60):
            if database.texts_waiting() or self.stopping.wait(0.05):
                return

    def torment(self, database: "Waiting") -> None:
        """Kill it at random instants; it is looked at what it had committed and not yet sent."""
        chance = random.Random(20)  # noqa: S311
        while self.kills < KILLS and not self.stopping.is_set():
            if self.kills % 4:
                self.wait_until_up()
            self.stopping.wait(chance.uniform(0.0, 3.5))
            if self.kills % 3 == 0:
                self.wait_for_texts(database)
            self.kill()
            self.kills += 1
            self.caught_between += database.texts_waiting() > 0
            self.start()


@dataclass(frozen=True)
class Waiting:
    store: wiring.Store

    def texts_waiting(self) -> int:
        with self.store.read() as connection:
            counted: int = connection.execute(
                text("SELECT count(*) FROM outbox WHERE state IN ('pending', 'claimed')")
            ).scalar_one()
        return counted


def _carry(stand_in: StandIn, hands: dict[str, Hands], base: str, until: Event) -> None:
    """The network: brings texts to phones, and what phones text to the webhook, until it took."""
    brought = 0
    undelivered: list[Message] = []
    while not until.wait(0.05):
        stand_in.now = _now()
        for message in stand_in.taken[brought:]:
            brought += 1
            message.sent_at, message.status = stand_in.now, "delivered"
            if message.to in hands:
                hands[message.to].hears(message.body, stand_in.now)
        for worker in hands.values():
            waits = any(each.sender == worker.number for each in undelivered)
            said = None if waits else worker.texts(stand_in.now)
            if said:
                undelivered.append(stand_in.is_texted(worker.number, said))
        undelivered = [each for each in undelivered if not _delivered(stand_in, base, each)]
        if all(worker.code for worker in hands.values()):
            return


def _delivered(stand_in: StandIn, base: str, message: Message) -> bool:
    try:
        return stand_in.calls_inbound(base, message) == 200
    except (urllib.error.URLError, OSError):
        return False


@pytest.fixture
def line() -> Iterator[StandIn]:
    with gateway() as stand_in:
        yield stand_in


def test_twenty_kills_lose_no_text_and_ring_no_bell_twice(line: StandIn, tmp_path: Path) -> None:
    port = _free_port()
    base = f"http://127.0.0.1:{port}"
    environment = os.environ | {
        "SOAKBELL_DATABASE_URL": f"sqlite:///{tmp_path / 'soakbell.db'}",
        "SOAKBELL_PUBLIC_URL": base,
        "SOAKBELL_SECRET_KEY": "k" * 40,
        "TWILIO_ACCOUNT_SID": ACCOUNT,
        "TWILIO_AUTH_TOKEN": TOKEN,
        "TWILIO_FROM": NUMBER,
        "TWILIO_API_BASE": line.url,
    }
    line.now, line.takes_s = _now(), 0.3
    bot = wiring.texting(read_settings(environment))
    settle(bot, line.now)
    hands = {
        number: Hands(number, device) for number, device in zip(WORKERS, DEVICES, strict=True)
    }
    server = Server(environment, port, tmp_path / "serve.log")
    server.start()
    until = Event()
    network = Thread(target=_carry, args=(line, hands, base, until), daemon=True)
    killer = Thread(target=server.torment, args=(Waiting(bot.store),), daemon=True)
    for worker in hands.values():
        worker.due, worker.answer = line.now, f"CLEAN {worker.device}"

    network.start()
    killer.start()
    network.join(LONGEST.total_seconds())
    server.stopping.set()
    killer.join()
    until.set()
    server.kill()

    log = (tmp_path / "serve.log").read_text()[-2000:]
    bells = Counter(_bells(line))
    assert {worker.device: bool(worker.code) for worker in hands.values()} == dict.fromkeys(
        DEVICES, True
    ), log
    assert server.kills == KILLS
    assert server.caught_between > 0
    assert bells == Counter({f"{device} soak complete": 1 for device in DEVICES})
    with bot.store.read() as connection:
        assert verify(connection, SITE) == []
    assert rebuild(bot.store, SITE) == []
    bot.close()


def _bells(line: StandIn) -> list[str]:
    """Contact bells that reached the gateway, by device; whether rung in time or late."""
    found = []
    for message in line.taken:
        bell = re.match(r"(V\d): (soak complete|this bell is)", message.body)
        if bell:
            found.append(f"{bell[1]} soak complete")
    return found

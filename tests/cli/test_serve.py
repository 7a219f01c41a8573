"""serve and worker as real processes: set up, text, hear, stop; wrong settings named at once."""

import os
import signal
import socket
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest
from sqlalchemy import select

from bot.cli.serve import Server
from bot.clock import machine_time
from bot.engines.scheduler import Scheduler
from bot.record.chain import verify_all
from bot.settings import read_settings
from bot.store.engine import open_store
from bot.store.tables import inbox, outbox
from tests.kit.desk import Desk, set_up
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, StandIn, gateway
from tests.kit.signing import signed

ENOUGH_S = 60
"""For what takes a second on an idle machine."""
ANN = "+12025550101"


@pytest.fixture
def line() -> Iterator[StandIn]:
    with gateway() as stand_in:
        stand_in.now = machine_time()
        yield stand_in


@pytest.fixture
def settings(line: StandIn, tmp_path: Path) -> dict[str, str]:
    return {
        "SOAKBELL_DATABASE_URL": f"sqlite:///{tmp_path / 'soakbell.db'}",
        "SOAKBELL_PUBLIC_URL": f"http://127.0.0.1:{free_port()}",
        "SOAKBELL_SECRET_KEY": "k" * 40,
        "TWILIO_ACCOUNT_SID": ACCOUNT,
        "TWILIO_AUTH_TOKEN": TOKEN,
        "TWILIO_FROM": NUMBER,
        "TWILIO_API_BASE": line.url,
    }


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


@contextmanager
def running(settings: dict[str, str], *words: str) -> Iterator["subprocess.Popen[str]"]:
    command = [sys.executable, "-m", "bot", *words]
    with subprocess.Popen(
        command,
        env={**os.environ, **settings},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as process:
        try:
            yield process
        finally:
            process.kill()


def stopped(process: "subprocess.Popen[str]") -> int:
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=ENOUGH_S)
    return process.returncode


def until(what: str, holds: threading.Event) -> None:
    assert holds.wait(ENOUGH_S), f"{what} has not happened"


def watched(line: StandIn, count: int) -> threading.Event:
    """Set once the gateway has taken that many texts."""
    seen, tick = threading.Event(), threading.Event()

    def look() -> None:
        while len(line.taken) < count and not tick.wait(0.05):
            pass
        seen.set()

    threading.Thread(target=look, daemon=True).start()
    return seen


def answers(url: str) -> threading.Event:
    """Set once somebody answers there."""
    seen, tick = threading.Event(), threading.Event()

    def look() -> None:
        while not tick.wait(0.1):
            try:
                urllib.request.urlopen(f"{url}/healthz", timeout=5).close()  # noqa: S310
            except OSError:
                continue
            seen.set()
            return

    threading.Thread(target=look, daemon=True).start()
    return seen


def lets_nobody_in(url: str) -> threading.Event:
    """Set once nobody is answered there any more; whoever is in already is another matter."""
    seen, tick = threading.Event(), threading.Event()

    def look() -> None:
        while not tick.wait(0.05):
            try:
                urllib.request.urlopen(f"{url}/healthz", timeout=1).close()  # noqa: S310
            except OSError:
                seen.set()
                return

    threading.Thread(target=look, daemon=True).start()
    return seen


def test_what_was_set_up_by_hand_is_served_and_stops_when_told(
    line: StandIn, settings: dict[str, str]
) -> None:
    url = settings["SOAKBELL_PUBLIC_URL"]
    set_up(Desk(settings["SOAKBELL_DATABASE_URL"]))

    with running(settings, "serve", "--port", url.rpartition(":")[2]) as process:
        until("an answer", answers(url))
        taken = line.calls_inbound(url, line.is_texted(ANN, "MENU"))
        until("a text", watched(line, 1))
        code = stopped(process)

    assert (taken, code) == (200, 0)
    assert [message.to for message in line.taken] == [ANN]
    assert line.bodies[0].startswith("CLEAN V1 / USED V1")


def test_a_worker_sends_what_another_process_has_left_and_stops_when_told(
    line: StandIn, settings: dict[str, str]
) -> None:
    """The gateway is asked for what it could not bring: no webhook is needed for this."""
    set_up(Desk(settings["SOAKBELL_DATABASE_URL"]))
    line.is_texted(ANN, "MENU")

    with running(settings, "worker") as process:
        until("a text", watched(line, 1))
        code = stopped(process)

    assert code == 0
    assert line.bodies[0].startswith("CLEAN V1 / USED V1")


def test_a_text_that_is_being_handled_when_it_is_told_to_stop_is_handled_to_its_end(
    settings: dict[str, str],
) -> None:
    url = settings["SOAKBELL_PUBLIC_URL"]
    set_up(Desk(settings["SOAKBELL_DATABASE_URL"]))
    store = open_store(settings["SOAKBELL_DATABASE_URL"])

    with running(settings, "serve", "--port", url.rpartition(":")[2]) as process:
        until("an answer", answers(url))
        with store.write():
            brought = brings(url, {"MessageSid": "SM" + "a" * 32, "From": ANN, "Body": "CLEAN V1"})
            # Connections are taken in turn: once this later one is answered, that one is at work.
            urllib.request.urlopen(f"{url}/healthz", timeout=ENOUGH_S).close()  # noqa: S310
            process.send_signal(signal.SIGTERM)
            until("its going", lets_nobody_in(url))
        with closing(brought):
            answer = brought.getresponse().status
        process.communicate(timeout=ENOUGH_S)

    with store.read() as connection:
        kept = connection.execute(select(inbox.c.body, inbox.c.state)).all()
        queued = connection.execute(select(outbox.c.slug)).all()
        problems = verify_all(connection)
    store.close()
    assert (answer, process.returncode) == (200, 0)
    assert [tuple(row) for row in kept] == [("CLEAN V1", "handled")]
    assert len(queued) == 1
    assert problems == []


@pytest.mark.parametrize("rings", [True, False])
def test_the_web_alone_serves_and_neither_rings_nor_sends(
    settings: dict[str, str], monkeypatch: pytest.MonkeyPatch, *, rings: bool
) -> None:
    started: list[Scheduler] = []
    monkeypatch.setattr(Scheduler, "start", lambda engine: started.append(engine))  # noqa: PLW0108
    server = Server(read_settings(settings), socket.create_server(("127.0.0.1", 0)), rings=rings)

    web = server.load().test_client()

    assert web.get("/healthz").status_code == 200
    assert len(started) == (1 if rings else 0)
    server.cfg.worker_exit(None, None)
    os.close(int(server.cfg.bind[0].removeprefix("fd://")))


def brings(url: str, form: dict[str, str]) -> HTTPConnection:
    """A webhook whose answer has not been waited for."""
    whole = form | {"AccountSid": ACCOUNT, "To": NUMBER, "NumMedia": "0"}
    address = f"{url}/sms/inbound"
    connection = HTTPConnection(urlsplit(url).netloc, timeout=ENOUGH_S)
    head = {"Content-Type": "application/x-www-form-urlencoded"} | signed(TOKEN, address, whole)
    connection.request("POST", "/sms/inbound", urlencode(whole), head)
    return connection


def test_a_port_that_is_taken_is_one_line_and_a_code(settings: dict[str, str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = subprocess.run(
            [sys.executable, "-m", "bot", "serve", "--port", str(port)],
            env={**os.environ, **settings},
            capture_output=True,
            text=True,
            check=False,
            timeout=ENOUGH_S,
        )

    assert done.returncode == 1
    assert done.stdout == ""
    said = f"Nothing can listen on 127.0.0.1, port {port}: Address already in use."
    (only,) = done.stderr.splitlines()
    assert only == f"Error: {said} Stop what does, or choose another --host or --port."


@pytest.mark.parametrize("command", ["serve", "worker"])
def test_all_that_is_wrong_with_the_settings_is_said_and_the_code_is_two(command: str) -> None:
    wrong = {"SOAKBELL_DATABASE_URL": "mysql://x", "TWILIO_FROM": "123"}

    done = subprocess.run(
        [sys.executable, "-m", "bot", command],
        env={"PATH": os.environ["PATH"], **wrong},
        capture_output=True,
        text=True,
        check=False,
        timeout=ENOUGH_S,
    )

    names = [line.removeprefix("Error: ").split()[0] for line in done.stderr.splitlines()]
    assert done.returncode == 2
    assert names == [
        "SOAKBELL_DATABASE_URL", "SOAKBELL_PUBLIC_URL", "SOAKBELL_SECRET_KEY",
        "TWILIO_ACCOUNT_SID", "TWILIO_AUTH_TOKEN", "TWILIO_FROM",
    ]  # fmt: skip


def test_a_database_that_cannot_be_had_is_a_line_and_no_traceback(
    settings: dict[str, str], tmp_path: Path
) -> None:
    nowhere = settings | {"SOAKBELL_DATABASE_URL": f"sqlite:///{tmp_path / 'no' / 'such.db'}"}

    done = subprocess.run(
        [sys.executable, "-m", "bot", "serve"],
        env={**os.environ, **nowhere},
        capture_output=True,
        text=True,
        check=False,
        timeout=ENOUGH_S,
    )

    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    assert "Traceback" not in done.stderr

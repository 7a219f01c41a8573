"""Processes that a part starts, waits for, and ends."""

import json
import os
import socket
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import Any

from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN

NEVER_SET = Event()
UP_WITHIN_S = 60
ENDS_WITHIN_S = 5


def pause(seconds: float) -> None:
    """The bench runs on real time."""
    NEVER_SET.wait(seconds)


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


def environment(database_url: str, port: int, gateway_url: str) -> dict[str, str]:
    return dict(os.environ) | {
        "SOAKBELL_DATABASE_URL": database_url,
        "SOAKBELL_PUBLIC_URL": f"http://127.0.0.1:{port}",
        "SOAKBELL_SECRET_KEY": "k" * 40,
        "TWILIO_ACCOUNT_SID": ACCOUNT,
        "TWILIO_AUTH_TOKEN": TOKEN,
        "TWILIO_FROM": NUMBER,
        "TWILIO_API_BASE": gateway_url,
    }


@contextmanager
def running(
    *command: str, log: Path, env: Mapping[str, str] | None = None
) -> Iterator[subprocess.Popen[bytes]]:
    """`python -m` *command* until the block ends."""
    with log.open("ab") as written:
        process = subprocess.Popen(
            [sys.executable, "-m", *command], env=env, stdout=written, stderr=subprocess.STDOUT
        )
    try:
        yield process
    finally:
        _end(process)


def _end(process: subprocess.Popen[bytes]) -> None:
    """A worker sends all that waits before it stops: what was measured does not need that."""
    process.terminate()
    try:
        process.wait(timeout=ENDS_WITHIN_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def wait_until_up(port: int, process: subprocess.Popen[bytes]) -> None:
    for _ in range(UP_WITHIN_S * 20):
        if process.poll() is not None:
            raise RuntimeError("A process of the bench has ended at once: see its log.")
        try:
            with socket.create_connection(("127.0.0.1", port), timeout=1):
                return
        except OSError:
            pause(0.05)
    raise RuntimeError("A process of the bench does not come up: see its log.")


def told_by(*command: str) -> dict[str, Any]:
    """What `python -m` *command* prints, a line of JSON."""
    done = subprocess.run([sys.executable, "-m", *command], check=True, stdout=subprocess.PIPE)
    told: dict[str, Any] = json.loads(done.stdout)
    return told

"""`soakbell demo` as somebody starts it: a process of its own, ended by Ctrl-C."""

import os
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

OPENS_WITHIN = 60.0
ENDS_WITHIN = 20.0
"""Seconds, on a busy machine."""


@dataclass
class Demo:
    url: str
    said: str
    running: "subprocess.Popen[str]"

    def ends(self, how: signal.Signals = signal.SIGINT) -> tuple[int, str]:
        """Its exit code, and what it said last."""
        self.running.send_signal(how)
        rest, _ = self.running.communicate(timeout=ENDS_WITHIN)
        return self.running.returncode, rest


@contextmanager
def demo(folder: Path, *options: str) -> Iterator[Demo]:
    """A running demo whose temporary files go to *folder*."""
    command = [sys.executable, "-m", "bot", "demo", *options]
    with subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "TMPDIR": str(folder)},
    ) as running:
        try:
            said = _until_open(running)
            (url,) = re.findall(r"http://127\.0\.0\.1:\d+", said)
            yield Demo(url, said, running)
        finally:
            running.kill()


def _until_open(running: "subprocess.Popen[str]") -> str:
    said = ""
    assert running.stdout is not None
    impatient = threading.Timer(OPENS_WITHIN, running.kill)
    impatient.start()
    try:
        while "Ctrl-C" not in said:
            line = running.stdout.readline()
            assert line, f"The demo has not opened; it said: {said}"
            said += line
    finally:
        impatient.cancel()
        impatient.join()
    return said

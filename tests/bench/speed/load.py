"""Brings texts to a webhook as fast as it takes them: `tests.bench.speed.load FILE PORT`.

The requests were made and signed before. It prints how many were brought, in how long, how many
were not answered with 2xx, and how long answers took.
"""

import json
import pickle
import socket
import sys
from collections import deque
from collections.abc import Sequence
from pathlib import Path
from threading import Thread
from time import perf_counter
from urllib.parse import urlencode

from bot.cli.serve import THREADS
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN
from tests.kit.signing import signed

LINES = 2 * THREADS
"""Of a process: there is always a text that waits."""


def requests_for(base: str, texts: Sequence[tuple[str, str, str]]) -> list[bytes]:
    """Webhook calls as bytes, signed; each text is its sid, number and words."""
    url = f"{base}/sms/inbound"
    return [_request(url, sid, number, body) for sid, number, body in texts]


def _request(url: str, sid: str, number: str, body: str) -> bytes:
    form = {
        "MessageSid": sid,
        "AccountSid": ACCOUNT,
        "From": number,
        "To": NUMBER,
        "Body": body,
        "NumMedia": "0",
        "SmsStatus": "received",
    }
    sent = urlencode(form)
    host = url.split("/")[2]
    headers = {
        "Host": host,
        "Content-Type": "application/x-www-form-urlencoded",
        "Content-Length": str(len(sent)),
        **signed(TOKEN, url, form),
    }
    head = "".join(f"{name}: {value}\r\n" for name, value in headers.items())
    return f"POST /sms/inbound HTTP/1.1\r\n{head}\r\n{sent}".encode()


class Bringing:
    def __init__(self, port: int, requests: list[bytes]) -> None:
        self._port = port
        self._waiting = deque(requests)
        self.took: list[float] = []
        self.refused = 0

    def bring(self) -> None:
        line = socket.create_connection(("127.0.0.1", self._port))
        line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        while self._waiting:
            try:
                request = self._waiting.popleft()
            except IndexError:
                break
            begun = perf_counter()
            line.sendall(request)
            answer = self._answer(line)
            self.took.append(perf_counter() - begun)
            self.refused += not answer.startswith(b"HTTP/1.1 2")
            if b"\r\nConnection: close" in answer:
                line.close()
                line = socket.create_connection(("127.0.0.1", self._port))
        line.close()

    def _answer(self, line: socket.socket) -> bytes:
        """Head and body: these answers are short and bear their length."""
        got = b""
        while True:
            part = line.recv(65_536)
            got += part
            head, parted, body = got.partition(b"\r\n\r\n")
            length = head.lower().partition(b"content-length: ")[2].split(b"\r\n")[0]
            if not part or (parted and length and len(body) >= int(length)):
                return got


def main(file: str, port: str) -> None:
    bringing = Bringing(int(port), pickle.loads(Path(file).read_bytes()))  # noqa: S301 - our own
    threads = [Thread(target=bringing.bring) for _ in range(LINES)]
    begun = perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took = perf_counter() - begun
    told = {
        "brought": len(bringing.took),
        "seconds": took,
        "refused": bringing.refused,
        "slowest_s": max(bringing.took, default=0.0),
    }
    print(json.dumps(told))  # noqa: T201


if __name__ == "__main__":
    main(*sys.argv[1:])

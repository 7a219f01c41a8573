"""The stand-in gateway in a process of its own: `python -m tests.bench.speed.line PORT`."""

import sys
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from itertools import count
from json import dumps

from tests.kit.gateway import NINE, Message

TAKES = 201


class Line(BaseHTTPRequestHandler):
    """Takes every text and forgets it; of the kit's stand-in only the answer, to stay cheap."""

    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True
    numbers = count(1)
    taken = dumps(Message("SID", "+1", "+1", "", "outbound-api", NINE, None).as_json())

    def do_POST(self) -> None:
        self.rfile.read(int(self.headers["Content-Length"]))
        self._answer(TAKES, self.taken.replace("SID", f"SM{next(self.numbers):032x}"))

    def do_GET(self) -> None:
        """Nothing was missed."""
        self._answer(200, dumps({"messages": [], "page": 0, "next_page_uri": None}))

    def _answer(self, status: int, body: str) -> None:
        head = f"HTTP/1.1 {status} OK\r\nContent-Type: application/json\r\n"
        self.wfile.write(f"{head}Content-Length: {len(body)}\r\n\r\n{body}".encode())

    def log_message(self, *_: object) -> None:
        """Silent."""


def main(port: int) -> None:
    """Serve until it is ended."""
    ThreadingHTTPServer(("127.0.0.1", port), Line).serve_forever()


if __name__ == "__main__":
    main(int(sys.argv[1]))

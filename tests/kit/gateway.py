"""A stand-in for the gateway's REST API, over real HTTP.

It checks what the gateway checks, fails as it is told to, and remembers everything. Paths, fields
and statuses: the gateway's OpenAPI description (tests/outside holds the two together). Error
codes of refusals: from memory.
"""

import json
import re
import socket
import urllib.request
from base64 import b64decode
from collections import defaultdict, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Event, Lock, Thread
from urllib.parse import parse_qsl, urlencode, urlsplit

from tests.kit.signing import signed

ACCOUNT = "AC" + "0" * 31 + "1"
TOKEN = "token-of-the-stand-in"  # noqa: S105 - it opens nothing
NUMBER = "+15550009999"
NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)

E164 = re.compile(r"\+[1-9][0-9]{6,14}")
MESSAGES = re.compile(
    r"/2010-04-01/Accounts/(AC[0-9a-f]{32})/Messages(?:/(SM[0-9a-f]{32}))?\.json"
)
PAGE = 50


@dataclass(frozen=True, slots=True)
class Refuse:
    """Answer with an error and do nothing else."""

    status: int
    code: int | None = None
    headers: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Drop:
    """Cut the line instead of answering; the text is taken first, or is not."""

    taken: bool


@dataclass(frozen=True, slots=True)
class Hang:
    """Take the text and never answer."""


@dataclass(frozen=True, slots=True)
class Garble:
    """Take the text and answer with something that is not JSON."""


Fault = Refuse | Drop | Hang | Garble


@dataclass(frozen=True, slots=True)
class Asked:
    """A request as it came."""

    method: str
    path: str
    query: str
    headers: dict[str, str]
    body: str


@dataclass(slots=True)
class Message:
    sid: str
    to: str
    sender: str
    body: str
    direction: str
    created_at: datetime
    sent_at: datetime | None
    status: str = "queued"
    callback: str = ""
    validity_s: int = 36_000

    def as_json(self) -> dict[str, object]:
        own = f"/2010-04-01/Accounts/{ACCOUNT}/Messages/{self.sid}"
        return {
            "account_sid": ACCOUNT,
            "api_version": "2010-04-01",
            "body": self.body,
            "date_created": format_datetime(self.created_at),
            "date_sent": None if self.sent_at is None else format_datetime(self.sent_at),
            "date_updated": format_datetime(self.created_at),
            "direction": self.direction,
            "error_code": None,
            "error_message": None,
            "from": self.sender,
            "messaging_service_sid": None,
            "num_media": "0",
            "num_segments": "1",
            "price": None,
            "price_unit": None,
            "sid": self.sid,
            "status": self.status,
            "subresource_uris": {"media": f"{own}/Media.json"},
            "to": self.to,
            "uri": f"{own}.json",
        }


@dataclass(slots=True)
class StandIn:
    """The gateway's other side: what it took, what it was asked, what it is to do next."""

    now: datetime = NINE
    messages: list[Message] = field(default_factory=list)
    asked: list[Asked] = field(default_factory=list)
    url: str = ""
    takes_s: float = 0.0
    """How long it takes over each text: a process can be killed meanwhile."""
    _faults: dict[str, deque[Fault]] = field(default_factory=lambda: defaultdict(deque))
    _lock: Lock = field(default_factory=Lock)
    _released: Event = field(default_factory=Event)

    # What a test says.

    def fails(self, *faults: Fault, to: str = "") -> None:
        """The next texts (to one number, where it is given) fail, one fault each."""
        self._faults[to].extend(faults)

    def is_texted(self, number: str, body: str, at: datetime | None = None) -> Message:
        """A person texts our number; the webhook is another matter (see `calls_inbound`)."""
        when = at or self.now
        return self._remember(
            Message(self._next_sid(), NUMBER, number, body, "inbound", when, when, "received")
        )

    def calls_inbound(self, base: str, message: Message) -> int:
        """Call the webhook of a text that came, signed; hands back the HTTP status."""
        form = {
            "MessageSid": message.sid,
            "AccountSid": ACCOUNT,
            "From": message.sender,
            "To": message.to,
            "Body": message.body,
            "NumMedia": "0",
            "SmsStatus": "received",
        }
        return self._call(f"{base}/sms/inbound", form)

    def calls_status(self, message: Message, status: str, error_code: str = "") -> int:
        """Report a status to the URL that came with the text, signed."""
        form = {"MessageSid": message.sid, "MessageStatus": status, "To": message.to}
        return self._call(
            message.callback, form | ({"ErrorCode": error_code} if error_code else {})
        )

    @property
    def taken(self) -> list[Message]:
        """The texts handed over to it, in order."""
        return [message for message in self.messages if message.direction == "outbound-api"]

    @property
    def bodies(self) -> list[str]:
        return [message.body for message in self.taken]

    # What it does.

    def create(self, form: dict[str, str]) -> tuple[Fault | None, int, dict[str, object]]:
        with self._lock:
            fault = self._next_fault(form.get("To", ""))
        if isinstance(fault, Refuse):
            return fault, fault.status, _error(fault.status, fault.code)
        wrong = _wrong(form)
        if wrong:
            return fault, 400, _error(400, wrong)
        if isinstance(fault, Drop) and not fault.taken:
            return fault, 0, {}
        self._released.wait(self.takes_s)
        return fault, 201, self._take(form).as_json()

    def listed(self, wanted: dict[str, str]) -> list[Message]:
        """Newest first; a text that has not left yet has no date and passes no filter by date."""
        after, before = wanted.get("DateSent>"), wanted.get("DateSent<")
        return [
            message
            for message in reversed(self.messages)
            if wanted.get("To", message.to) == message.to
            and wanted.get("From", message.sender) == message.sender
            and (after is None or (message.sent_at and message.sent_at >= _read(after)))
            and (before is None or (message.sent_at and message.sent_at <= _read(before)))
        ]

    def hang(self) -> None:
        self._released.wait(timeout=30)

    def let_go(self) -> None:
        self._released.set()

    def _take(self, form: dict[str, str]) -> Message:
        return self._remember(
            Message(
                self._next_sid(),
                form["To"],
                form["From"],
                form["Body"],
                "outbound-api",
                self.now,
                None,
                callback=form.get("StatusCallback", ""),
                validity_s=int(form.get("ValidityPeriod", "36000")),
            )
        )

    def _remember(self, message: Message) -> Message:
        with self._lock:
            self.messages.append(message)
        return message

    def _next_sid(self) -> str:
        return f"SM{len(self.messages) + 1:032x}"

    def _next_fault(self, to: str) -> Fault | None:
        waiting = self._faults[to] or self._faults[""]
        return waiting.popleft() if waiting else None

    def _call(self, url: str, form: dict[str, str]) -> int:
        request = urllib.request.Request(  # noqa: S310 - always http://127.0.0.1
            url, urlencode(form).encode(), signed(TOKEN, url, form)
        )
        try:
            with urllib.request.urlopen(request, timeout=10) as answer:  # noqa: S310
                return int(answer.status)
        except urllib.error.HTTPError as refused:
            return refused.code


@contextmanager
def gateway() -> Iterator[StandIn]:
    """The stand-in, listening on this machine until the block ends."""
    stand_in = StandIn()

    class Answers(_Answers):
        line = stand_in

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answers)
    server.daemon_threads = True
    stand_in.url = f"http://127.0.0.1:{server.server_port}"
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    try:
        yield stand_in
    finally:
        stand_in.let_go()
        server.shutdown()
        server.server_close()
        thread.join()


class _Answers(BaseHTTPRequestHandler):
    line: StandIn
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length", "0"))).decode()
        self._remember(body)
        if not self._known():
            return
        fault, status, answer = self.line.create(dict(parse_qsl(body, keep_blank_values=True)))
        match fault:
            case Drop():
                self._cut()
            case Hang():
                self.line.hang()
                self._cut()
            case Garble():
                self._answer(201, "<html>", {})
            case Refuse():
                self._answer(status, json.dumps(answer), dict(fault.headers))
            case None:
                self._answer(status, json.dumps(answer), {})

    def do_GET(self) -> None:
        self._remember("")
        if not self._known():
            return
        address = urlsplit(self.path)
        path = MESSAGES.fullmatch(address.path)
        if path and path[2]:
            self._answer_one(path[2])
        else:
            self._answer_page(address.path, dict(parse_qsl(address.query)))

    def _answer_one(self, sid: str) -> None:
        held = next((message for message in self.line.messages if message.sid == sid), None)
        if held is None:
            self._answer(404, json.dumps(_error(404, 20404)), {})
        else:
            self._answer(200, json.dumps(held.as_json()), {})

    def _answer_page(self, path: str, wanted: dict[str, str]) -> None:
        size, page = int(wanted.get("PageSize", PAGE)), int(wanted.get("Page", "0"))
        listed = self.line.listed(wanted)
        shown = listed[page * size : (page + 1) * size]
        more = f"{path}?{urlencode(wanted | {'Page': page + 1})}"
        answer = {
            "page": page,
            "page_size": size,
            "first_page_uri": path,
            "uri": path,
            "next_page_uri": more if len(listed) > (page + 1) * size else None,
            "messages": [message.as_json() for message in shown],
        }
        self._answer(200, json.dumps(answer), {})

    def _known(self) -> bool:
        """Whether path, account and token are right; answers where they are not."""
        path = MESSAGES.fullmatch(urlsplit(self.path).path)
        kind, _, secret = self.headers.get("Authorization", "").partition(" ")
        if kind != "Basic" or b64decode(secret).decode() != f"{ACCOUNT}:{TOKEN}":
            self._answer(401, json.dumps(_error(401, 20003)), {})
        elif path is None or path[1] != ACCOUNT:
            self._answer(404, json.dumps(_error(404, 20404)), {})
        else:
            return True
        return False

    def _remember(self, body: str) -> None:
        address = urlsplit(self.path)
        headers = dict(self.headers.items())
        self.line.asked.append(Asked(self.command, address.path, address.query, headers, body))

    def _answer(self, status: int, body: str, headers: dict[str, str]) -> None:
        self.send_response(status)
        for name, value in ({"Content-Type": "application/json"} | headers).items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body.encode())))
        self.end_headers()
        self.wfile.write(body.encode())

    def _cut(self) -> None:
        self.close_connection = True
        self.connection.shutdown(socket.SHUT_RDWR)

    def log_message(self, *_: object) -> None:
        """Silent: what was asked is in `asked`."""


def _wrong(form: dict[str, str]) -> int | None:
    """The code of the first thing the gateway would refuse; from memory."""
    checks = (
        ("To" not in form, 21604),
        (E164.fullmatch(form.get("To", "")) is None, 21211),
        (form.get("From") != NUMBER, 21606),
        (not form.get("Body"), 21602),
        (len(form.get("Body", "")) > 1600, 21617),
        (not form.get("StatusCallback", "http://x").startswith("http"), 21609),
        (not 1 <= int(form.get("ValidityPeriod", "1")) <= 36_000, 21656),
    )
    return next((code for is_wrong, code in checks if is_wrong), None)


def _error(status: int, code: int | None) -> dict[str, object]:
    held = {"message": "refused by the stand-in", "status": status}
    return held if code is None else held | {"code": code}


def _read(moment: str) -> datetime:
    return datetime.fromisoformat(moment)


def later(minutes: int) -> datetime:
    return NINE + timedelta(minutes=minutes)

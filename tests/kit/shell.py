"""A whole bot on a real database: its own doors, a clock held by hand, phones on a screen."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import count
from typing import Any

from sqlalchemy import Connection, event, text
from werkzeug.security import generate_password_hash

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock
from bot.exchange import Exchange, Handled, Parts
from bot.inbox import Inbound
from bot.outbox.sender import Sender
from bot.protocols import today
from bot.record.read import all_entries
from bot.store.live import load
from bot.store.people import keep_number, keep_person
from bot.store.tables import metadata
from bot.store.transaction import Store
from bot.texts.render import Renderer
from flows.parts.clinic import Clinic, Kind, Level, Role
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Poured,
    SiteOpened,
    Stamped,
    StripBottleOpened,
)

NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)
"""A Monday morning."""
MINUTE = timedelta(minutes=1)
SITE = "hill"
SECRET = "the tests' own secret, which guards nothing at all"  # noqa: S105

ANN, SHARED, ELLA = "+12025550101", "+12025550103", "+12025550109"
"""A worker's own phone; one that two people share; the supervisor's."""
NUMBERS = {"f1": ANN, "f3": SHARED, "f9": ELLA}
NAMES = {"p1": "Ann", "p3": "Cho", "p4": "Dov", "p9": "Ella"}
PINS = {"p3": "3141", "p4": "271828"}

WEEK = NINE + timedelta(days=7)
EXPIRES = date(2027, 3, 31)

SET_UP: tuple[Event, ...] = (
    SiteOpened(SITE, "Etc/UTC", "17:00", "en", "dmy"),
    PersonEnrolled("p1", 1, Role.WORKER, Level.COACH, may_release=True, language="en"),
    PersonEnrolled("p3", 3, Role.TRAINEE, Level.COACH, may_release=False, language="en"),
    PersonEnrolled("p4", 4, Role.WORKER, Level.COACH, may_release=True, language="en"),
    PersonEnrolled("p9", 9, Role.SUPERVISOR, Level.COACH, may_release=True, language="en"),
    PhoneEnrolled("f1", ("p1",), shared=False),
    PhoneEnrolled("f3", ("p3", "p4"), shared=True),
    PhoneEnrolled("f9", ("p9",), shared=False),
    DeviceEnrolled("V1", "handheld_probe"),
    JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, WEEK, "jug_open_life"),
    Poured("B1", Kind.BOTTLE, "J1", "opa_055", "L1", NINE, WEEK, "reuse_life", topped_up=False),
    StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, WEEK, checked=True),
    Poured("T1", Kind.BATH, "B1", "opa_055", "L1", NINE, WEEK, "reuse_life", topped_up=False),
)


@cache
def pin_hashes() -> dict[str, str]:
    """Quick, as what is kept says how slow its check is; the slow one has tests of its own."""
    return {person: generate_password_hash(pin, "scrypt:1024:8:1") for person, pin in PINS.items()}


@dataclass
class Shell:
    store: Store
    parts: Parts
    exchange: Exchange
    sender: Sender
    phones: WebPhone
    clock: HandClock
    sids: Iterator[int] = field(default_factory=count)

    def text(self, number: str, body: str, **named: Any) -> Inbound:
        """A text as a channel brings it, not yet brought."""
        sid = named.pop("sid", None) or f"SM{next(self.sids)}"
        return Inbound(sid, number, body, named.pop("arrived_at", self.clock.now()), **named)

    def sends(self, number: str, body: str, **named: Any) -> Handled:
        return self.exchange.text(self.text(number, body, **named))

    def heard(self, number: str) -> list[str]:
        """All that this phone has shown so far."""
        self.sender.send_due()
        return [shown.body for shown in self.phones.on(number)]

    def answers(self, number: str, body: str) -> list[str]:
        """What that phone hears in answer to a text."""
        before = len(self.heard(number))
        self.sends(number, body)
        return self.heard(number)[before:]

    def wait(self, span: timedelta) -> None:
        """Let time pass, ringing each bell in its minute."""
        until = self.clock.now() + span
        while self.clock.now() < until:
            self.clock.advance(min(MINUTE / 2, until - self.clock.now()))
            self.exchange.ring_due()

    # -- what a test looks at -------------------------------------------------------------------

    @property
    def clinic(self) -> Clinic:
        with self.store.read() as connection:
            return load(connection, SITE).clinic

    def entries(self, *kinds: type[Event]) -> list[Stamped]:
        with self.store.read() as connection:
            stamped = [entry.stamped for entry in all_entries(connection, SITE)]
        return [each for each in stamped if not kinds or isinstance(each.event, kinds)]

    def rows(self, statement: str) -> list[tuple[Any, ...]]:
        with self.store.read() as connection:
            return [tuple(row) for row in connection.execute(text(statement))]

    def everything_kept(self) -> str:
        """Every row of every table, to search for what must not be there."""
        with self.store.read() as connection:
            return "\n".join(
                str(tuple(row))
                for table in metadata.sorted_tables
                for row in connection.execute(table.select())
            )

    def without(self, **parts: Any) -> "Shell":
        """The same shell with other parts; what is kept is the same."""
        return bare_shell(self.store, self.clock, self.phones, **parts)


def bare_shell(store: Store, clock: HandClock, phones: WebPhone, **parts: Any) -> Shell:
    renderer, tokens = Renderer(), count()
    usual = Parts(
        store=store,
        clock=clock,
        renderer=renderer,
        protocols=today,
        token=lambda: f"token{next(tokens)}",
        secret=SECRET,
        vocabularies=renderer.vocabularies(),
    )
    made = replace(usual, **parts)
    exchange = Exchange(made)
    sender = Sender(store, phones, clock, SECRET, exchange.fact, hands=1)
    return Shell(store, made, exchange, sender, phones, clock)


def shell(store: Store) -> Shell:
    """A clinic with a worker, a shared phone, a supervisor and supplies."""
    made = bare_shell(store, HandClock(NINE), WebPhone())
    made.exchange.set_up(SITE, SET_UP, register)
    return made


def register(connection: Connection) -> None:
    for person, name in NAMES.items():
        keep_person(connection, SITE, person, name, pin_hashes().get(person))
    for phone, number in NUMBERS.items():
        keep_number(connection, SITE, phone, number)


@contextmanager
def statements(store: Store) -> Iterator[list[str]]:
    """Every statement sent while this is open, to any engine; beginnings and ends apart."""
    engines = (store.writing, store.reading, store.looking)
    sent: list[str] = []

    def note(_c: object, _k: object, statement: str, *_: object) -> None:
        if not statement.startswith("BEGIN"):
            sent.append(" ".join(statement.replace('"', "").split()[:3]))

    for engine in engines:
        event.listen(engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        for engine in engines:
            event.remove(engine, "before_cursor_execute", note)

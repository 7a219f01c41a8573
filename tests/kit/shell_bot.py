"""A whole bot on a database, as a shift needs it: its doors, its outbox, its rows."""

from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import Connection, select

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock
from bot.exchange import Handled
from bot.inbox import Inbound
from bot.record.chain import Problem, verify
from bot.record.read import all_entries
from bot.record.rebuild import Difference, rebuild
from bot.store.live import load
from bot.store.people import keep_number, keep_person
from bot.store.tables import outbox
from bot.store.transaction import Store
from flows.parts.clinic import Clinic
from flows.parts.events import Event
from tests.kit.carrier import Flight
from tests.kit.shell import Shell, bare_shell
from tests.kit.shift import Events, Said
from tests.kit.talk import NINE

SITE = "s1"
NUMBERS = {"ph1": "+12025550111", "ph2": "+12025550112", "ph9": "+12025550119"}
NAMES = {"p1": "Ann", "p2": "Bea", "p9": "Ella"}


@dataclass
class ShellBot:
    """Every text goes in as an inbound and comes out of the outbox; every bell is a row."""

    store: Store
    shell: Shell = field(init=False)
    clinic: Clinic = field(default_factory=Clinic)
    entries: int = 0
    texts: int = 0

    def __post_init__(self) -> None:
        self.shell = bare_shell(self.store, HandClock(NINE), WebPhone())

    def text(self, flight: Flight, sent_at: datetime, now: datetime) -> Events | None:
        del sent_at  # the shell works it out itself
        self.shell.clock.set(now)
        number = NUMBERS[flight.phone]
        inbound = Inbound(flight.message, number, flight.body, now, flight.gateway)
        handled = self.shell.exchange.text(inbound)
        assert handled in {Handled.DONE, Handled.SEEN}, f"{flight.body!r}: {handled}"
        happened = self._happened()
        assert handled is Handled.DONE or happened == (), "S10: a text seen before did something"
        return happened if handled is Handled.DONE else None

    def facts(self, now: datetime, *events: Event) -> None:
        self.shell.clock.set(now)
        self.shell.exchange.set_up(SITE, events, _registers)
        self._happened()

    def bell(self, now: datetime) -> Events:
        self.shell.clock.set(now)
        assert self.shell.exchange.ring_due() > 0, "a bell that is due was not rung"
        return self._happened()

    def due(self) -> datetime | None:
        return min((bell.due for bell in self.clinic.bells.values()), default=None)

    def says(self) -> list[Said]:
        self.shell.sender.send_due()
        columns = outbox.c
        with self.store.read() as connection:
            rows = connection.execute(
                select(outbox).where(columns.id > self.texts).order_by(columns.id)
            ).all()
        self.texts = max([self.texts, *(row.id for row in rows)])
        return [
            Said(row.phone, row.slug, row.body, row.valid_until - row.created_at)
            for row in rows
            if row.state == "sent"
        ]

    def _happened(self) -> Events:
        with self.store.read() as connection:
            self.clinic = load(connection, SITE).clinic
            stamped = [entry.stamped for entry in all_entries(connection, SITE)]
        new = tuple(each.event for each in stamped[self.entries :])
        self.entries = len(stamped)
        return new

    def wrong_rows(self) -> list[Difference]:
        """What `rebuild --check` finds."""
        return rebuild(self.store, SITE)

    def wrong_chain(self) -> list[Problem]:
        with self.store.read() as connection:
            return verify(connection, SITE)


def _registers(connection: Connection) -> None:
    for person, name in NAMES.items():
        keep_person(connection, SITE, person, name, None)
    for phone, number in NUMBERS.items():
        keep_number(connection, SITE, phone, number)

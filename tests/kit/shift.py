"""Bot, carrier, bench and hands on one clock: everything happens in the order of its time."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import partial
from typing import Protocol

from flows.answer import BellIn, FactIn, TextIn
from flows.parts.clinic import Clinic, Kind, Level, Role
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Poured,
    SiteOpened,
    StripBottleOpened,
)
from flows.replies.typed import tidy
from tests.kit.bench import FRESH, REUSE_LIFE, Bench, Vessel
from tests.kit.carrier import PROMPT, Carrier, Flight, Trip
from tests.kit.talk import NINE, Talk

JUG_OPEN_LIFE = timedelta(days=75)
"""Source: from memory, typical of product instructions."""


Events = tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """A text of the bot on its way out."""

    phone: str
    slug: str
    body: str
    good_for: timedelta


@dataclass(frozen=True, slots=True)
class Done:
    """One exchange: what came in, what was true before, what happened, what was said."""

    now: datetime
    flight: Flight | None
    before: Clinic
    after: Clinic
    events: Events
    said: Sequence[Said]


class Bot(Protocol):
    """What a shift needs of a bot, with or without a shell around its flows."""

    def text(self, flight: Flight, sent_at: datetime, now: datetime) -> Events | None:
        """Take a text in: what happened; None where its message id has been seen before."""
        ...

    def facts(self, now: datetime, *events: Event) -> None: ...

    def bell(self, now: datetime) -> Events:
        """Ring what is due first: what happened."""
        ...

    def due(self) -> datetime | None: ...

    @property
    def clinic(self) -> Clinic: ...

    def says(self) -> list[Said]:
        """What has been said since this was last asked."""
        ...


@dataclass(slots=True)
class PureBot:
    """The flows alone: what a shell would add is only the memory for message ids."""

    talk: Talk = field(default_factory=Talk)
    seen: set[str] = field(default_factory=set)
    told: int = 0

    def text(self, flight: Flight, sent_at: datetime, now: datetime) -> Events | None:
        if flight.message in self.seen:
            return None
        self.seen.add(flight.message)
        self.talk.now = now
        incoming = TextIn(flight.phone, tidy(flight.body), sent_at, inbound=flight.message)
        person = self.talk.holder(flight.phone)
        return self.talk.exchange(incoming, phone=flight.phone, person=person).events

    def facts(self, now: datetime, *events: Event) -> None:
        self.talk.now = now
        self.talk.exchange(FactIn(events))

    def bell(self, now: datetime) -> Events:
        self.talk.now = now
        bells = self.clinic.bells.values()
        bell = min(bells, key=lambda each: (each.due, each.id))
        return self.talk.exchange(BellIn(bell.id, now - bell.due)).events

    def due(self) -> datetime | None:
        return min((bell.due for bell in self.clinic.bells.values()), default=None)

    @property
    def clinic(self) -> Clinic:
        return self.talk.clinic

    def says(self) -> list[Said]:
        new = self.talk.said[self.told :]
        self.told = len(self.talk.said)
        return [
            Said(each.to or "", each.text.slug, self.talk.shown(each), each.good_for)
            for each in new
        ]


Watch = Callable[["Shift", Done], None]


@dataclass
class Shift:
    """A day at a clinic."""

    bot: Bot
    watch: Watch
    now: datetime = NINE
    bench: Bench = field(default_factory=Bench)
    carrier: Carrier = field(default_factory=Carrier)
    hearing: Trip = PROMPT
    """How the bot's texts travel just now."""
    engine_lag: timedelta = timedelta(0)
    """How late the engine looks at bells just now."""
    phones: dict[str, list[Flight]] = field(default_factory=dict)
    """What each phone has received, in the order in which it came."""
    unheard: set[int] = field(default_factory=set)
    """Soils that no text which has arrived has told."""
    transcript: list[str] = field(default_factory=list)
    """All that was texted and read, and all that hands did, for whoever must understand it."""

    # -- time -------------------------------------------------------------------------------

    def passes(self, seconds: float) -> None:
        """Let time pass: bells ring and texts land in their order."""
        until = self.now + timedelta(seconds=seconds)
        while (when := self._next()) is not None and when <= until:
            self.now = max(self.now, when)
            self._one()
        self.now = until

    def _bell_at(self) -> datetime | None:
        due = self.bot.due()
        return None if due is None else due + self.engine_lag

    def _next(self) -> datetime | None:
        flight = self.carrier.first()
        times = [self._bell_at(), flight.arrives if flight else None]
        return min((time for time in times if time is not None), default=None)

    def _one(self) -> None:
        bell, flight = self._bell_at(), self.carrier.first()
        if flight is None or (bell is not None and bell <= flight.arrives):
            before = self.bot.clinic
            self._look(None, before, self.bot.bell(self.now))
            return
        self.carrier.lands(flight)
        if flight.message:
            self._arrives(flight)
        elif flight.expires is None or self.now < flight.expires:
            self.phones.setdefault(flight.phone, []).append(flight)
            self.notes(f"{flight.phone} receives {flight.slug}: {flight.body}")

    def _arrives(self, flight: Flight) -> None:
        self.unheard -= flight.tells
        sent_at = min(flight.gateway or self.now, self.now)
        before = self.bot.clinic
        self.notes(
            f"bot hears {flight.phone} {flight.message}, sent {sent_at:%H:%M:%S}: {flight.body}"
        )
        self._look(flight, before, self.bot.text(flight, sent_at, self.now))

    def _look(self, flight: Flight | None, before: Clinic, events: Events | None) -> None:
        texts = self.bot.says()
        for said in texts:
            self.carrier.to_phone(
                said.phone, said.slug, said.body, self.now, self.hearing, said.good_for
            )
        if events is not None:
            self.notes("  " + " ".join(type(each).__name__ for each in events))
            self.watch(self, Done(self.now, flight, before, self.bot.clinic, events, texts))

    # -- what people do ---------------------------------------------------------------------

    def sends(
        self, phone: str, body: str, trip: Trip = PROMPT, tells: frozenset[int] = frozenset()
    ) -> None:
        self.notes(f"{phone} texts: {body}")
        self.carrier.to_bot(phone, body, self.now, trip, tells)

    def notes(self, line: str) -> None:
        self.transcript.append(f"{self.now:%H:%M:%S} {line}")

    def soils(self, probe: str, what: str, patient: str = "") -> int:
        """It happens now; the bot may know once a text has told it."""
        soil = self.bench.soils_it(probe, what, self.now, patient)
        self.unheard.add(soil.number)
        self.notes(f"{probe}: {what}")
        return soil.number


@dataclass(frozen=True, slots=True)
class Stock:
    """What stands at the sink in the morning."""

    strength: Decimal = FRESH
    celsius: Decimal = Decimal("22.5")
    left: timedelta = timedelta(days=7)
    """Until the bottle and the bath are out of date."""
    level: Level = Level.BRIEF
    devices: tuple[str, ...] = ("V1",)


WORKERS = ("ph1", "ph2")
SUPERVISOR = "ph9"


def opens(shift: Shift, stock: Stock) -> None:
    """A clinic with two workers, a supervisor, and the stock; the bot knows it as it is."""
    bottle = Vessel("bottle", stock.strength, shift.now + stock.left - REUSE_LIFE, "B1")
    bath = Vessel("bath", stock.strength, bottle.born, "T1", stock.celsius, shift.now)
    jug = Vessel("jug", FRESH, bottle.born, "J1")
    shift.bench.vessels += [jug, bottle, bath]
    for label in stock.devices:
        shift.bench.soils_it(label, "new", shift.now)
    shift.bot.facts(
        shift.now,
        SiteOpened("s1", "Etc/GMT-3", "17:00", "en", "dmy"),
        PersonEnrolled("p1", 1, Role.WORKER, stock.level, may_release=True, language="en"),
        PersonEnrolled("p2", 2, Role.WORKER, Level.COACH, may_release=True, language="en"),
        PersonEnrolled("p9", 9, Role.SUPERVISOR, Level.COACH, may_release=True, language="en"),
        PhoneEnrolled("ph1", ("p1",), shared=False),
        PhoneEnrolled("ph2", ("p2",), shared=False),
        PhoneEnrolled("ph9", ("p9",), shared=False),
        *(DeviceEnrolled(label, "handheld_probe") for label in stock.devices),
        *_liquids(jug, bottle, bath),
    )


def _liquids(jug: Vessel, bottle: Vessel, bath: Vessel) -> tuple[Event, ...]:
    ends = bottle.born + REUSE_LIFE
    year = date(2027, 3, 31)
    opened = min(datetime(2026, 2, 1, 9, 0, tzinfo=UTC), jug.born)
    poured = partial(
        Poured,
        product="opa_055",
        lot="L1",
        discard_by=ends,
        because="reuse_life",
        topped_up=False,
    )
    return (
        JugOpened("J1", "opa_055", "L1", year, opened, opened + JUG_OPEN_LIFE, "jug_open_life"),
        poured(tag="B1", kind=Kind.BOTTLE, source="J1", poured=bottle.born),
        poured(tag="T1", kind=Kind.BATH, source="B1", poured=bath.born),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", year, opened, ends, checked=True),
    )

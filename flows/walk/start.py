"""Clinics to begin a walk in: stocked or bare, coached or brief, own phones or a shared one."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from flows.answer import FactIn
from flows.parts.clinic import Kind, Level, Role
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    HolderSignedIn,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Poured,
    SiteOpened,
    StripBottleOpened,
)
from flows.protocols import protocol_for, shipped
from flows.protocols.model import CycleProtocol, Selection
from flows.walk.room import Room

MORNING = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
"""09:00 of a Monday in the site's time."""

WEEK = timedelta(days=7)
SELECTION = Selection("opa_055", "opa_strip_1s_90s", "handheld_probe", "enzymatic")


@dataclass(frozen=True, slots=True)
class Setting:
    """What a clinic is like when the walk begins."""

    level: Level = Level.COACH
    stocked: bool = True
    devices: int = 1
    shared: bool = False
    may_release: bool = True
    selection: Selection = SELECTION
    lasts: timedelta = WEEK
    """How long what it is stocked with is in date."""

    def opened(self) -> Room:
        """The clinic, with the time and a record."""
        room = Room(MORNING, protocol(self.selection))
        stock = _stock(self.selection, MORNING + self.lasts) if self.stocked else ()
        events = (*self._people(), *self._devices(), *stock)
        return room.after(FactIn(events))[0]

    def _people(self) -> tuple[Event, ...]:
        holds = ("p1", "p2") if self.shared else ("p1",)
        enrolled = (
            SiteOpened("s1", "Etc/GMT-3", "17:00", "en", "dmy"),
            PersonEnrolled("p1", 1, Role.WORKER, self.level, self.may_release, "en"),
            PersonEnrolled(
                "p2", 2, Role.WORKER, _other(self.level), may_release=True, language="en"
            ),
            PersonEnrolled("p9", 9, Role.SUPERVISOR, Level.COACH, may_release=True, language="en"),
            PhoneEnrolled("ph1", holds, self.shared),
            PhoneEnrolled("ph2", ("p2",), shared=False),
            PhoneEnrolled("ph9", ("p9",), shared=False),
        )
        return (*enrolled, HolderSignedIn("ph1", "p1")) if self.shared else enrolled

    def _devices(self) -> tuple[Event, ...]:
        labels = [f"V{number}" for number in range(1, self.devices + 1)]
        return tuple(DeviceEnrolled(label, self.selection.device_model) for label in labels)


def _other(level: Level) -> Level:
    return Level.BRIEF if level is Level.COACH else Level.COACH


def _stock(of: Selection, ends: datetime) -> tuple[Event, ...]:
    expires = date(2027, 3, 31)
    return (
        JugOpened("J1", of.chemistry, "L1", expires, MORNING, ends, "jug_open_life"),
        Poured(
            "B1", Kind.BOTTLE, "J1", of.chemistry, "L1", MORNING, ends, "reuse_life",
            topped_up=False,
        ),
        StripBottleOpened("S1", of.strip, "L9", expires, MORNING, ends, checked=True),
        Poured(
            "T1", Kind.BATH, "B1", of.chemistry, "L1", MORNING, ends, "reuse_life",
            topped_up=False,
        ),
    )  # fmt: skip


def protocol(selection: Selection = SELECTION) -> CycleProtocol:
    """What is shipped, untouched by any site. Raises TypeError where that does not load."""
    loaded = protocol_for(selection, (), shipped())
    if isinstance(loaded, list):
        raise TypeError("; ".join(map(str, loaded)))
    return loaded

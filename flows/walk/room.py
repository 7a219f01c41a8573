"""One moment of a walk: a clinic, its record, the time; and what an incoming thing makes of it."""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from types import MappingProxyType

from flows.answer import Around, BellIn, FactIn, Incoming, PinCheck, TextIn, answer
from flows.catalogue import SITE_RINGERS
from flows.parts.clinic import Bell, Clinic
from flows.parts.decision import Outcome
from flows.parts.events import Event, Stamped
from flows.parts.moment import Moment
from flows.parts.state import fold
from flows.protocols.model import CycleProtocol
from flows.replies.typed import tidy
from flows.sign_in import holder
from flows.words import ENGLISH


@dataclass(frozen=True, slots=True)
class Room:
    """Everything that the next exchange can depend on. *count* makes each token fresh."""

    now: datetime
    protocol: CycleProtocol
    clinic: Clinic = field(default_factory=Clinic)
    entries: tuple[Stamped, ...] = ()
    count: int = 0

    def after(self, incoming: Incoming, phone: str = "") -> tuple["Room", Outcome]:
        """What the core's one door makes of *incoming*, kept as a shell would keep it."""
        who = holder(self.clinic.phones[phone], self.now) if phone else None
        outcome = answer(self.clinic, incoming, Moment(self.now, str(self.count)), self._around())
        added = tuple(Stamped(event, self.now, who, phone or None) for event in outcome.events)
        clinic = self.clinic
        for stamped in added:
            clinic = fold(clinic, stamped)
        entries = self.entries + added
        return replace(self, clinic=clinic, entries=entries, count=self.count + 1), outcome

    def _around(self) -> Around:
        return Around(
            names={person: f"Name{person}" for person in self.clinic.people},
            vocabularies=MappingProxyType({"en": ENGLISH}),
            today=lambda _: self.protocol,
            history=self.history,
        )

    def history(self, cycle: str) -> tuple[Stamped, ...]:
        """The record's entries of one cycle."""
        return tuple(each for each in self.entries if getattr(each.event, "cycle", None) == cycle)

    def waited(self, span: timedelta) -> "Room":
        """The same room later; nothing has been looked at meanwhile."""
        return replace(self, now=self.now + span)

    def next_bell(self) -> Bell | None:
        """The bell that rings first; None where none is set."""
        return min(self.bells(), key=lambda bell: (bell.due, bell.id), default=None)

    def first_bell(self) -> Bell:
        """The bell that rings first. Raises ValueError where none is set."""
        return min(self.bells(), key=lambda bell: (bell.due, bell.id))

    def bells(self) -> list[Bell]:
        """Those of cycles and questions: a bell of the site asks nothing and moves nothing."""
        return [each for each in self.clinic.bells.values() if each.kind not in SITE_RINGERS]


@dataclass(frozen=True, slots=True)
class Text:
    """Somebody types *body*, *wait* from now, unless a bell comes first."""

    phone: str
    body: str
    wait: timedelta = timedelta(seconds=1)

    def at(self, room: Room) -> Room | None:
        """The room in which it is heard; None where a bell is due before, which comes first."""
        bell = room.next_bell()
        then = room.now + self.wait
        return None if bell and bell.due <= then else room.waited(self.wait)

    def heard(self, room: Room) -> tuple[Room, Outcome]:
        """What comes of it."""
        text = TextIn(self.phone, tidy(self.body), room.now, inbound=f"m{room.count}")
        return room.after(text, self.phone)


@dataclass(frozen=True, slots=True)
class Pin:
    """Number and PIN on a shared phone: those of *person*, or nobody's."""

    phone: str
    person: str | None

    def at(self, room: Room) -> Room | None:
        """A second later."""
        return room.waited(timedelta(seconds=1))

    def heard(self, room: Room) -> tuple[Room, Outcome]:
        """Whether it is believed."""
        masked = tidy("1 ****")
        text = TextIn(self.phone, masked, room.now, PinCheck(self.person), f"m{room.count}")
        return room.after(text, self.phone)


@dataclass(frozen=True, slots=True)
class Bells:
    """The next bell rings, *late* by so much: whoever looks at bells was down."""

    late: timedelta = timedelta(0)

    def at(self, room: Room) -> Room | None:
        """At its time, or now if that is past."""
        return replace(room, now=max(room.now, room.first_bell().due + self.late))

    def heard(self, room: Room) -> tuple[Room, Outcome]:
        """What it says."""
        bell = room.first_bell()
        return room.after(BellIn(bell.id, room.now - bell.due))


@dataclass(frozen=True, slots=True)
class Facts:
    """Something that happens elsewhere: a delivery report, the clock, another phone's strip."""

    name: str
    events: tuple[Event, ...]

    def at(self, room: Room) -> Room | None:
        """Now."""
        return room

    def heard(self, room: Room) -> tuple[Room, Outcome]:
        """What it sets off."""
        return room.after(FactIn(self.events))


@dataclass(frozen=True, slots=True)
class Down:
    """Time goes by and no bell is looked at: the bot is down, or it is night."""

    span: timedelta

    def at(self, room: Room) -> Room | None:
        """Afterwards."""
        return room.waited(self.span)

    def heard(self, room: Room) -> tuple[Room, Outcome]:
        """Nothing."""
        return room, Outcome()


Input = Text | Pin | Bells | Facts | Down


@dataclass(frozen=True, slots=True)
class Edge:
    """One thing that came in, and all that came of it."""

    before: Room
    """At the moment it was dealt with."""
    input: Input
    outcome: Outcome
    to: int
    """The state it came to, by its number in the walk."""

    def after(self) -> Room:
        """The room afterwards, made again."""
        return self.input.heard(self.before)[0]


def take(room: Room, given: Input) -> tuple[Room, Room, Outcome] | None:
    """The room in which *given* comes in, the room after it, and its outcome."""
    before = given.at(room)
    if before is None:
        return None
    after, outcome = given.heard(before)
    return before, after, outcome

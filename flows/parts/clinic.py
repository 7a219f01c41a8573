"""What is: a clinic's people, phones, devices, containers, cycles, questions, bells, alerts.

`fold` makes all of it from the record. Names and numbers of people are elsewhere (S15).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from flows.parts.look_back import Case, Cleared, Dip
from flows.parts.said import InPart, Said
from flows.parts.stock import stock_of

DOUBLED_WITHIN = timedelta(minutes=15)
"""S10: how long a carrier's double may be on its way. Source: common practice, none published."""
MISSES_FADE_AFTER = timedelta(hours=10)
"""S14: after a shift without one, wrong PINs count no more. Source: common practice."""


def empty() -> Mapping[str, str]:
    """A mapping with nothing in it, for defaults."""
    return MappingProxyType({})


class Role(StrEnum):
    WORKER = "worker"
    SUPERVISOR = "supervisor"
    TRAINEE = "trainee"


class Level(StrEnum):
    """How much is asked: a step a message, or the evidence texts only."""

    COACH = "coach"
    BRIEF = "brief"


@dataclass(frozen=True, slots=True)
class Choice:
    """A figure this site sets otherwise than published, and its written reason."""

    product: str
    key: str
    value: str
    reason: str

    @property
    def of(self) -> tuple[str, str]:
        """Which figure it sets; of one figure a site has one choice."""
        return self.product, self.key


@dataclass(frozen=True, slots=True)
class Site:
    id: str
    zone: str
    closes_at: str
    """Local closing time, 'HH:MM': a release under a cover without a hang time ends then."""
    language: str
    day_order: str | None
    """'dmy' or 'mdy' where the site says how dates are written; None asks."""
    choices: tuple[Choice, ...] = ()
    title: str = ""
    given: tuple[str, ...] = ()
    """The last tag given of each letter, as numbers go round: whatever bore it may be gone."""

    @property
    def called(self) -> str:
        return self.title or self.id

    def way(self, key: str) -> str:
        """What it has chosen about its own way of working; empty where it has not."""
        return next((each.value for each in self.choices if each.of == ("site", key)), "")


@dataclass(frozen=True, slots=True)
class Person:
    id: str
    number: int
    """The short number a person types, with the PIN, on a shared phone."""
    role: Role
    level: Level
    may_release: bool
    language: str
    cautions_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Phone:
    id: str
    people: tuple[str, ...]
    shared: bool
    holder: str | None = None
    held_since: datetime | None = None
    held_from: datetime | None = None
    reachable: bool = True
    opted_out: bool = False
    wrong_pins: int = 0
    missed_at: datetime | None = None
    """When the last of its wrong PINs was typed: a sign-in between does not wipe them out."""
    locked_until: datetime | None = None
    tests: int = 0
    tested_at: datetime | None = None
    """When a strip was last dipped or read on it, and how many in a row: other digits follow."""
    said: tuple[Said, ...] = ()
    in_part: InPart | None = None

    def misses(self, now: datetime) -> int:
        """S14: wrong PINs that still count: none once a shift has gone by without one."""
        fresh = self.missed_at is not None and now - self.missed_at < MISSES_FADE_AFTER
        return self.wrong_pins if fresh else 0


class Standing(StrEnum):
    """Where a device stands. Only RELEASED is fit for a patient, and only until its time."""

    NOT_READY = "not_ready"
    IN_CYCLE = "in_cycle"
    RELEASED = "released"
    QUARANTINED = "quarantined"


@dataclass(frozen=True, slots=True)
class Batch:
    """A lot of a product, as printed on jug or strip bottle; empty where none was noted."""

    product: str
    lot: str


@dataclass(frozen=True, slots=True)
class Release:
    code: str
    cycle: str
    at: datetime
    until: datetime
    batches: tuple[Batch, ...] = ()
    """What its cycle soaked in, and the strips that passed it: a recall finds them here (S18)."""


@dataclass(frozen=True, slots=True)
class Device:
    label: str
    model: str
    standing: Standing = Standing.NOT_READY
    why: str = "enrolled"
    """Why it is not ready, as a slug of `NotReady` texts."""
    cycle: str | None = None
    release: Release | None = None
    last_code: str | None = None
    last_cycle: str | None = None
    """The cycle it was last released from: what a use rests on, though the release be gone."""
    inspected_at: datetime | None = None
    """Its last passed inspection: patients since then are looked back for if it fails (S13)."""
    use_owed: bool = False
    """A release has gone by without a recorded use: the next CLEAN asks for the patient codes."""
    uses: tuple[str, ...] = ()
    """Patient codes since the last release."""
    used_at: datetime | None = None
    """When the last of them was told: the same again at once is a doubled text (S10)."""


class Kind(StrEnum):
    JUG = "jug"
    BOTTLE = "bottle"
    BATH = "bath"
    MIXED = "mixed"
    """Detergent or chlorine, made up here; it is labelled, and no strip tests it."""


class Fitness(StrEnum):
    GOOD = "good"
    HELD = "held"
    """Not to be used until a strip has passed in it."""
    CONDEMNED = "condemned"
    DISCARDED = "discarded"


AT_HAND = frozenset({Fitness.GOOD, Fitness.HELD})
"""What somebody may yet pour from, or dip, once it is in date and free."""


@dataclass(frozen=True, slots=True)
class Pass:
    """A strip that passed: of one container, to its next use or the day; what it *cleared*."""

    test: str
    at: datetime
    good_until: datetime
    used_by: str | None = None
    """The cycle that soaked on this pass: another cycle needs a strip of its own."""
    strips: Batch | None = None
    cleared: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Container:
    tag: str
    kind: Kind
    product: str
    lot: str
    source: str | None
    since: datetime
    """Opened, poured or filled; the earliest moment the evidence allows (S5)."""
    discard_by: datetime
    because: str
    first_poured: datetime | None = None
    fitness: Fitness = Fitness.GOOD
    why: str = ""
    passed: Pass | None = None
    in_use_by: str | None = None
    cycles: tuple[str, ...] = ()
    """Cycles soaked in it or wiped with it since its last valid pass; void if a strip fails."""
    cleared: tuple[Cleared, ...] = ()
    """What passes have cleared before, oldest first: found again where one proves worthless."""
    dips: tuple[Dip, ...] = ()
    """Strips that were dipped in it and that nobody has read so far."""
    disturbed_at: datetime | None = None
    """When something last went into it: a probe, or what may have topped it up."""
    uses: int = 0
    no_result_on: date | None = None
    """The site's day of the last strip without a result: a second that day holds it (S4)."""
    expires: date | None = None
    """The maker's date, where it is printed on the container itself."""
    strength: str = ""
    """As it stands on the label, of what was mixed here."""
    activated_at: datetime | None = None
    """When a jug was activated or mixed; None where nobody has said so."""
    volume_ml: Decimal | None = None
    """What it held when it was new, filled or mixed; None where nothing said so."""


@dataclass(frozen=True, slots=True)
class StripBottle:
    tag: str
    product: str
    lot: str
    opened: datetime
    discard_by: datetime
    checked: bool  # its quality control has been passed, where one is due
    fitness: Fitness = Fitness.GOOD
    because: str = ""
    expires: date | None = None


@dataclass(frozen=True, slots=True)
class Soak:
    """A device in a liquid. `number` is known only to whoever has had the bell (S2)."""

    began: datetime
    due: datetime
    number: int
    rung: datetime | None = None


@dataclass(frozen=True, slots=True)
class Cycle:
    id: str
    device: str
    person: str
    level: Level
    protocol: str
    """The whole protocol it began with, as canonical JSON."""
    for_repair: bool
    done: frozenset[str] = frozenset()
    bath: str | None = None
    detergent: Soak | None = None
    contact: Soak | None = None
    celsius_in: Decimal | None = None
    passes: int = 1
    """How many times it has been cleaned from the start."""
    inspect_again: bool = False
    """Left in past the maximum: it must be inspected before anything else (S12)."""
    numbers: tuple[int, ...] = ()
    """The last numbers it asked for, newest last: a dead one is not given again (S3)."""
    batches: tuple[Batch, ...] = ()
    """What it was wiped with and soaks or has soaked in, and the strips that passed it."""
    been_in: str = ""
    """The liquid it was in last, though that was no soak; it counts as a use of it."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One flow in progress: where it is and what it has been told so far."""

    flow: str
    step: str
    memo: Mapping[str, str] = field(default_factory=empty)
    number: int | None = None
    """A number the answer must bear, where a doubled text could do harm (S10)."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A conversation on one phone: a stack of flows, the top of which asks the open question."""

    id: str
    phone: str
    person: str
    frames: tuple[Frame, ...]
    question: int
    asked_at: datetime
    cycle: str | None = None
    misses: int = 0
    nudges: int = 0
    hurried: bool = False
    said_before: bool = False
    """Whether it has been asked back if an answer, heard before, is for this question too."""

    @property
    def top(self) -> Frame:
        return self.frames[-1]

    @property
    def number(self) -> int | None:
        return self.top.number


@dataclass(frozen=True, slots=True)
class Bell:
    id: str
    kind: str
    due: datetime
    thread: str | None = None
    question: int | None = None
    cycle: str | None = None
    stage: int = 0


@dataclass(frozen=True, slots=True)
class Alert:
    id: str
    cause: str
    subject: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Recall:
    """A lot, a lot of strips or a protocol's figure that nothing may rest on any more (S18).

    *mark* is the lot as printed, or the figure's key; *value* the wrong one, *instead* the next.
    """

    id: str
    what: str
    product: str
    mark: str
    value: str
    at: datetime
    instead: str = ""

    def covers(self, batch: Batch) -> bool:
        """Whether *batch* is of the lot; one that nobody noted cannot be told from it."""
        of_it = self.what != "figure" and stock_of(batch.product) == stock_of(self.product)
        return of_it and (not batch.lot or bare_lot(batch.lot) == bare_lot(self.mark))


_LOOKS_LIKE = str.maketrans("ILO", "110")
_LOT_MARK = re.compile("^(?:10T|BATCH)?(?:N0|NR|NUMBER)?1*(?=.*[0-9])")


def bare_lot(lot: str) -> str:
    """A lot as lots are compared: no case, spaces, hyphens, "lot no" or L; I, L are 1 and O is 0.

    Two that differ in that alone may be one: using a bad one is worse. Common practice, no source.
    """
    return _LOT_MARK.sub("", "".join(filter(str.isalnum, lot)).upper().translate(_LOOKS_LIKE))


@dataclass(frozen=True, slots=True)
class Clinic:
    """Everything that is true of one site now."""

    site: Site | None = None
    people: Mapping[str, Person] = field(default_factory=lambda: MappingProxyType({}))
    phones: Mapping[str, Phone] = field(default_factory=lambda: MappingProxyType({}))
    devices: Mapping[str, Device] = field(default_factory=lambda: MappingProxyType({}))
    containers: Mapping[str, Container] = field(default_factory=lambda: MappingProxyType({}))
    strips: Mapping[str, StripBottle] = field(default_factory=lambda: MappingProxyType({}))
    cycles: Mapping[str, Cycle] = field(default_factory=lambda: MappingProxyType({}))
    threads: Mapping[str, Thread] = field(default_factory=lambda: MappingProxyType({}))
    bells: Mapping[str, Bell] = field(default_factory=lambda: MappingProxyType({}))
    alerts: Mapping[str, Alert] = field(default_factory=lambda: MappingProxyType({}))
    cases: Mapping[str, Case] = field(default_factory=lambda: MappingProxyType({}))
    recalls: Mapping[str, Recall] = field(default_factory=lambda: MappingProxyType({}))

    def recall_of(self, batch: Batch) -> Recall | None:
        """S18: the recall that *batch* falls under; None where it falls under none."""
        return next((each for each in self.recalls.values() if each.covers(batch)), None)

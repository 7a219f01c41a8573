"""What rests on a recalled lot or figure, found by replaying the record of a site (S18)."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from bot.record.written import Written, of_kinds
from bot.reports.timeline import corrections
from flows.parts.clinic import Batch, Clinic, Recall
from flows.parts.events import (
    EVENTS,
    CycleBegan,
    DeviceUsed,
    Event,
    JugOpened,
    Mixed,
    Poured,
    Released,
    Stamped,
    StripBottleOpened,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.parts.situation import parsed
from flows.parts.state import fold
from flows.rules.recall import condemned, held, is_as_lax, shows_it

OF_A_LOT = frozenset({"lot", "product", "source", "bath", "container", "strips"})
"""Fields that say, or lead to what says, which lot something is of."""

ROOMS = frozenset({"cycle", "device", "setup", "solutions"})
"""Events that say what a cycle rests on and whom it touched; the rest is talk and bells."""

_COMES = (JugOpened, Poured, Mixed, StripBottleOpened)

CODE_PENDING = ""

PutRight = Mapping[int, Mapping[str, str]]
"""Fields of entries as they should have read, by the number of the entry."""


@dataclass(frozen=True, slots=True)
class Use:
    """A patient whom a device touched; *patient* is empty while the code is still missing."""

    device: str
    at: datetime
    patient: str
    cycle: str


@dataclass(slots=True)
class Touched:
    """All that a site's record has of what is recalled. *since* is when it first shows it."""

    since: datetime | None = None
    tags: tuple[str, ...] = ()
    """Containers and bottles of strips that are still there, condemned or not."""
    running: tuple[str, ...] = ()
    released: tuple[str, ...] = ()
    """Cycles that are open, and cycles whose release nobody has used."""
    uses: list[Use] = field(default_factory=list)
    also: tuple[str, ...] = ()
    """What only a correction brings under it: the flows must be told."""
    devices: dict[str, str] = field(default_factory=dict)
    """The device of each cycle."""


def touched(connection: Connection, site: str, recall: Recall) -> Touched:
    """What *recall* touches at a site, with lots and sources as they have been corrected (S15).

    What is of it by the entries alone falls too, whatever a correction says: of two lots that were
    read off one label nobody knows which is true. Uses are those that rest on it as corrected.
    """
    corrected = _replayed(connection, site, recall, _put_right(connection, site))
    plain = _replayed(connection, site, recall, {})
    told = {*plain.tags, *plain.running, *plain.released}
    named = (*corrected.tags, *corrected.running, *corrected.released)
    return Touched(
        since=corrected.since or (plain.since if told else None),
        tags=_all_of(plain.tags, corrected.tags),
        running=_all_of(plain.running, corrected.running),
        released=_all_of(plain.released, corrected.released),
        uses=corrected.uses,
        also=tuple(each for each in named if each not in told),
        devices={**plain.devices, **corrected.devices},
    )


def _all_of(first: tuple[str, ...], then: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *then)))


def _put_right(connection: Connection, site: str) -> PutRight:
    """What was corrected of that, by the number of the entry that has it wrong."""
    said = [each for _, each in corrections(connection, site) if each.field in OF_A_LOT]
    right: dict[int, dict[str, str]] = {each.entry: {} for each in said}
    for each in said:
        right[each.entry][each.field] = each.value
    return right


def _replayed(connection: Connection, site: str, recall: Recall, right: PutRight) -> Touched:
    clinic, replay = Clinic(), _Replay(recall)
    entries = of_kinds(connection, site, _kinds())
    for written in entries:
        said = right.get(written.seq, {})
        clinic = _brought_in(clinic, _tags(said), written.seq, right, entries)
        stamped = _as_corrected(written, clinic, said)
        clinic = _folded(clinic, stamped, said)
        replay.look(clinic, stamped)
    return replay.found(clinic)


def _kinds() -> list[str]:
    return [name for name, kind in EVENTS.items() if kind.__module__.rpartition(".")[2] in ROOMS]


def _tags(said: Mapping[str, str]) -> set[str]:
    return {value for name, value in said.items() if name not in {"lot", "product"}}


def _brought_in(
    clinic: Clinic, tags: set[str], seq: int, right: PutRight, entries: list[Written]
) -> Clinic:
    """By a correction it may rest on something that was entered only after entry *seq*."""
    for each in entries if tags else ():
        event = each.stamped.event
        missing = tags - {*clinic.containers, *clinic.strips}
        if each.seq > seq and isinstance(event, _COMES) and event.tag in missing:
            said = right.get(each.seq, {})
            from_ = _tags(said) or {getattr(event, "source", "")}
            clinic = _brought_in(clinic, from_, each.seq, right, entries)
            clinic = fold(clinic, _as_corrected(each, clinic, said))
    return clinic


def _as_corrected(written: Written, clinic: Clinic, said: Mapping[str, str]) -> Stamped:
    """As it should have read of lots; what was poured is what its source is, and of its lot."""
    event: Any = written.stamped.event
    event = replace(event, **said)
    source = clinic.containers.get(event.source) if isinstance(event, Poured) else None
    if source:
        event = replace(event, **{"product": source.product, "lot": source.lot, **said})
    return replace(written.stamped, event=event)


def _folded(clinic: Clinic, stamped: Stamped, said: Mapping[str, str]) -> Clinic:
    """What a strip of another lot than its bottle's has passed, rests on that lot."""
    bottle = clinic.strips.get(getattr(stamped.event, "strips", ""))
    if bottle is None or "lot" not in said:
        return fold(clinic, stamped)
    other = replace(bottle, lot=said["lot"])
    after = fold(replace(clinic, strips={**clinic.strips, bottle.tag: other}), stamped)
    return replace(after, strips={**after.strips, bottle.tag: bottle})


@dataclass(slots=True)
class _Replay:
    """The record as it goes by, and what of it rests on *recall*."""

    recall: Recall
    since: datetime | None = None
    lax: set[str] = field(default_factory=set)
    """Cycles that began with the recalled figure, or a laxer one."""
    rests: set[str] = field(default_factory=set)
    """Cycles that were released and rest on it."""
    uses: dict[str, Use] = field(default_factory=dict)

    def look(self, clinic: Clinic, stamped: Stamped) -> None:
        event = stamped.event
        if isinstance(event, _COMES):
            if shows_it(self.recall, event):
                self._first(min(stamped.at, _since(event) or stamped.at))
        elif isinstance(event, CycleBegan):
            if is_as_lax(self.recall, parsed(event.protocol)):
                self.lax.add(event.cycle)
                self._first(stamped.at)
        elif isinstance(event, Released):
            if self._does_rest(event.cycle, _batches_released(clinic, event)):
                self.rests.add(event.cycle)
        else:
            self._use(stamped)

    def _first(self, moment: datetime) -> None:
        self.since = min(self.since or moment, moment)

    def _does_rest(self, cycle: str, batches: tuple[Batch, ...]) -> bool:
        return cycle in self.lax or any(map(self.recall.covers, batches))

    def _use(self, stamped: Stamped) -> None:
        event = stamped.event
        if isinstance(event, DeviceUsed) and event.cycle in self.rests:
            key = f"{event.device}/{event.day}/{event.patient}"
            self.uses[key] = Use(event.device, stamped.at, event.patient, event.cycle)
        elif isinstance(event, UseWithoutCode) and event.cycle in self.rests:
            self.uses[event.use] = Use(event.device, stamped.at, CODE_PENDING, event.cycle)
        elif isinstance(event, UseCodeGiven) and event.use in self.uses:
            self.uses[event.use] = replace(self.uses[event.use], patient=event.patient)

    def found(self, clinic: Clinic) -> Touched:
        tags = tuple(dict.fromkeys((*condemned(clinic, self.recall), *held(clinic, self.recall))))
        running = [
            each
            for each in clinic.cycles.values()
            if each.bath in tags or self._does_rest(each.id, each.batches)
        ]
        standing = [each for each in clinic.devices.values() if each.release]
        released = [
            (each.label, each.release.cycle)
            for each in standing
            if each.release and each.release.cycle in self.rests
        ]
        return Touched(
            since=self.since,
            tags=tags,
            running=tuple(each.id for each in running),
            released=tuple(cycle for _, cycle in released),
            uses=[*self.uses.values()],
            devices={**{each.id: each.device for each in running}, **{c: d for d, c in released}},
        )


def _since(event: Event) -> datetime | None:
    """When it was opened or poured, which may have been told later."""
    since: datetime | None = getattr(event, "opened", getattr(event, "poured", None))
    return since


def _batches_released(clinic: Clinic, event: Released) -> tuple[Batch, ...]:
    release = clinic.devices[event.device].release
    return release.batches if release else ()

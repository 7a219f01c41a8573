"""What must hold after every exchange, whatever came in: the safety rules, seen from outside."""

import re
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from flows.parts.clinic import Clinic, Container, Standing
from flows.parts.events import (
    CycleBegan,
    DetergentSoakEnded,
    DeviceUsed,
    Event,
    Immersed,
    JugOpened,
    Poured,
    Released,
    SoakBroken,
    StepDone,
    StripBottleOpened,
    StripDipped,
    StripRead,
    TakenOut,
    UnverifiedFact,
    UseWithoutCode,
)
from tests.kit.bench import CONTACT, DETERGENT, in_bath, why_not_deserved
from tests.kit.shift import Done, Shift

ONCE = (
    CycleBegan,
    Immersed,
    TakenOut,
    Released,
    StripDipped,
    StripRead,
    Poured,
    JugOpened,
    StripBottleOpened,
)
"""Effects of which one text has at most one."""


LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)

IS_ON_ITS_WAY = timedelta(minutes=45)
"""Longer than any text and its answer can be on their way, one after the other."""


@dataclass(slots=True)
class Promises:
    """The rules, and the little that must be remembered to check them."""

    immersed: dict[str, Immersed] = field(default_factory=dict)
    dead: dict[tuple[str, int], datetime] = field(default_factory=dict)
    effects: dict[str, str] = field(default_factory=dict)
    used: set[tuple[str, str]] = field(default_factory=set)
    releases: int = 0
    soaks: int = 0

    def watch(self, shift: Shift, done: Done) -> None:
        """All promises, right after an exchange."""
        for event in done.events:
            self._released(shift, done, event)
            self._taken_out(shift, done, event)
            _detergent(shift, event)
            _poured(done, event)
        _dates(done)
        self._use_is_on_record(done)
        _ready_is_deserved(shift, done)
        self._one_effect(done)
        _bells(done.after)
        _no_orphans(done.after)

    # -- the heart ------------------------------------------------------------------------------

    def _released(self, shift: Shift, done: Done, event: Event) -> None:
        if not isinstance(event, Released):
            return
        self.releases += 1
        reasons = why_not_deserved(shift.bench, event.device, done.now, shift.unheard)
        assert reasons == [], f"S1: {event.device} was released: {reasons}"
        assert shift.bench.soiled(event.device, shift.unheard), "S1: nothing was ever cleaned"

    def _taken_out(self, shift: Shift, done: Done, event: Event) -> None:
        """S2, S3: 12 true minutes, proved by the number of this very soak."""
        if isinstance(event, Immersed):
            died = self.dead.get((event.cycle, event.number), LONG_AGO)
            assert done.now - died > IS_ON_ITS_WAY, "S3: a new soak has a dead number"
            self.immersed[event.cycle] = event
        if isinstance(event, SoakBroken) and event.cycle in self.immersed:
            number = self.immersed.pop(event.cycle).number
            self.dead[event.cycle, number] = done.now
        if isinstance(event, TakenOut):
            self.soaks += 1
            began = self.immersed[event.cycle]
            assert event.number == began.number, "S3: completed by another number"
            true = in_bath(shift.bench, event.device, done.now)
            assert true >= CONTACT, f"S2: soak complete after {true} in the bath"

    # -- facts ----------------------------------------------------------------------------------

    def _use_is_on_record(self, done: Done) -> None:
        """S7: every USED that has arrived is on the record, whatever it means; a double is.

        A use is one use, by its device and code, until the next release.
        """
        for event in done.events:
            if isinstance(event, Released):
                self.used = {use for use in self.used if use[0] != event.device}
            if isinstance(event, DeviceUsed):
                self.used.add((event.device, event.patient))
        if done.flight is None or not done.flight.body.startswith("USED "):
            return
        _, device, code = done.flight.body.split()
        kept = [each for each in done.events if isinstance(each, UseWithoutCode | UnverifiedFact)]
        assert kept or (device, code) in self.used, f"S7: {done.flight.body!r} is not on record"

    # -- one text, one effect -------------------------------------------------------------------

    def _one_effect(self, done: Done) -> None:
        """S10: at most one of each; and what a carrier doubles does nothing more."""
        if done.flight is None:
            return
        acts = [each for each in done.events if _is_own_act(each)]
        often = {name: n for name, n in Counter(map(_name, acts)).items() if n > 1}
        assert often == {}, f"S10: {done.flight.body!r} did {often}"
        if acts and not _may_happen_again(done.events):
            original = re.sub(r"c\d+$", "", done.flight.message)
            assert original not in self.effects, (
                f"S10: a double of {done.flight.body!r} did {sorted(map(_name, acts))}, after "
                f"the first did {self.effects[original]}"
            )
            self.effects[original] = ", ".join(sorted(map(_name, acts)))


def _is_own_act(event: Event) -> bool:
    return isinstance(event, ONCE) or (isinstance(event, StepDone) and not event.stated_with)


def _may_happen_again(events: tuple[Event, ...]) -> bool:
    """What a double may do: fall on the safe side, or answer the very question it answered.

    A doubled IN sets a running soak to zero, a doubled CLEAN begins anew. A second strip or a
    second pour is asked for in the same words: there is no telling, and a strip decides.
    """
    again = SoakBroken | CycleBegan | StripDipped | Poured
    return any(isinstance(each, again) for each in events)


def _name(event: Event) -> str:
    return event.what if isinstance(event, StepDone) else type(event).__name__


def _detergent(shift: Shift, event: Event) -> None:
    if not isinstance(event, DetergentSoakEnded):
        return
    spans = [
        (stay.ended or shift.now) - stay.began
        for stay in shift.bench.stays
        if stay.probe == event.device and stay.liquid == "detergent"
    ]
    true = max(spans, default=timedelta(0))
    assert true >= DETERGENT, f"S2: detergent soak complete after {true}"


def _poured(done: Done, event: Event) -> None:
    """S5: what is poured inherits, never renews."""
    if isinstance(event, Poured):
        source = done.before.containers[event.source]
        assert event.discard_by <= source.discard_by, "S5: pouring renewed a date"


def _dates(done: Done) -> None:
    for tag, before in done.before.containers.items():
        after: Container | None = done.after.containers.get(tag)
        if after is not None:
            assert after.discard_by <= before.discard_by, f"S5: {tag} got a later date"


def _ready_is_deserved(shift: Shift, done: Done) -> None:
    """S9: READY UNTIL is said only while it is so, as far as anybody has told."""
    for said in (each for each in done.said if each.slug == "use.ready"):
        label = said.body.split()[0]
        device = done.after.devices[label]
        reasons = why_not_deserved(shift.bench, label, done.now, shift.unheard)
        assert reasons == [], f"S9: READY said of {label}: {reasons}"
        assert device.standing is Standing.RELEASED, f"S9: READY said of {label}"
        assert device.release is not None, f"S9: READY said of {label}"
        assert done.now < device.release.until, f"S9: READY said of {label} past its time"


# -- nothing rings for nothing, and nothing is forgotten ----------------------------------------


def _bells(clinic: Clinic) -> None:
    """Every bell has its cause, and every running soak that can still be rung has its bell."""
    for bell in clinic.bells.values():
        assert bell.thread is None or bell.thread in clinic.threads, f"{bell.id} rings for nobody"
        assert bell.kind in {"nudge", "strip", "morning"} or _soaks(
            clinic, bell.cycle, bell.kind
        ), f"{bell.id} rings for no soak"
    waiting = Counter((bell.kind, bell.cycle or bell.thread) for bell in clinic.bells.values())
    assert all(count == 1 for count in waiting.values()), f"too many bells: {waiting}"
    for cycle in clinic.cycles.values():
        rings = {bell.kind for bell in clinic.bells.values() if bell.cycle == cycle.id}
        if cycle.contact and not cycle.contact.rung:
            assert "contact" in rings, f"S12: {cycle.device} soaks without a bell"
        if cycle.detergent and not cycle.detergent.rung:
            assert "detergent" in rings, f"{cycle.device} is in detergent without a bell"


def _soaks(clinic: Clinic, cycle: str | None, kind: str) -> bool:
    known = clinic.cycles.get(cycle or "")
    if known is None:
        return False
    return (known.detergent if kind == "detergent" else known.contact) is not None


def _no_orphans(clinic: Clinic) -> None:
    """A cycle that is open has one conversation, and a conversation about a cycle has that."""
    talked = Counter(thread.cycle for thread in clinic.threads.values() if thread.cycle)
    assert set(talked) == set(clinic.cycles), "a cycle nobody is asked about, or the reverse"
    assert all(count == 1 for count in talked.values()), f"two conversations: {talked}"
    for label, device in clinic.devices.items():
        assert device.cycle is None or device.cycle in clinic.cycles, f"{label} in no cycle"
    for tag, container in clinic.containers.items():
        known = container.in_use_by is None or container.in_use_by in clinic.cycles
        assert known, f"{tag} is held by a cycle that is gone"

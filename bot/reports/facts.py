"""What a log of high-level disinfection asks about one cycle, found in its entries."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from bot.record.written import Written
from bot.reports.timeline import Timeline
from flows.parts.clinic import Kind
from flows.parts.events import (
    CleanedForRepair,
    CleaningRestarted,
    Corrected,
    CycleAbandoned,
    CycleVoided,
    DetergentSoakBegan,
    DetergentSoakEnded,
    DeviceEnrolled,
    DeviceUsed,
    Event,
    EvidenceStated,
    FaultReported,
    Immersed,
    JugActivated,
    JugOpened,
    Poured,
    Quarantined,
    Released,
    ReleaseWithdrawn,
    SiteChoiceMade,
    SoakBroken,
    StepDone,
    StripBottleOpened,
    StripDipped,
    StripRead,
    StripsChecked,
    TakenOut,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.protocols.model import CycleProtocol
from flows.rules.soak import contact_time

Found = tuple[Written, Any]
"""An entry and its event."""

_ENDS: tuple[tuple[type[Event], str], ...] = (
    (Released, "released"),
    (CleanedForRepair, "cleaned for repair"),
    (CycleAbandoned, "abandoned"),
    (CycleVoided, "voided"),
)
PENDING = "code pending"


@dataclass(frozen=True, slots=True)
class Facts:
    """A timeline, asked. What did not happen, or was not said, is None."""

    timeline: Timeline

    # -- the cycle ------------------------------------------------------------------------------

    @property
    def protocol(self) -> CycleProtocol:
        """The protocol it began with, whole. Raises ValueError or KeyError where it is none."""
        began: Any = self.timeline.began.stamped.event
        return CycleProtocol.from_mapping(json.loads(began.protocol))

    @property
    def fingerprint(self) -> str:
        began: Any = self.timeline.began.stamped.event
        return str(began.fingerprint)

    @property
    def deviations(self) -> tuple[tuple[str, str], ...]:
        """Where the site asked less than published, each with the reason that it wrote for it."""
        return tuple((each, self._why(each)) for each in self.protocol.deviations)

    def _why(self, deviation: str) -> str:
        """S15: from the choice that stood when the cycle began; its words can be erased."""
        began = self.timeline.began.seq
        made = self.timeline.ground(
            SiteChoiceMade,
            lambda each: deviation.startswith(f"{each.product}.{each.key} is {each.value}, "),
            before=began,
        )
        event: Any = made.stamped.event if made else None
        return self.timeline.because(event.reason if event else "")

    @property
    def for_repair(self) -> bool:
        began: Any = self.timeline.began.stamped.event
        return bool(began.for_repair)

    @property
    def model(self) -> str:
        device = self.timeline.device
        found = self._ground(DeviceEnrolled, "device", device, self.timeline.began)
        return str(found[1].model) if found else ""

    @property
    def end(self) -> Found | None:
        """The last of what ends a cycle: one that was released may be voided later."""
        ends = tuple(kind for kind, _ in _ENDS)
        found = self.timeline.all_of(*ends)
        return found[-1] if found else None

    @property
    def outcome(self) -> str:
        end = self.end
        if end is None:
            return "open"
        return next(word for kind, word in _ENDS if isinstance(end[1], kind))

    @property
    def because(self) -> str:
        end = self.end
        return str(getattr(end[1], "because", "")) if end else ""

    @property
    def released(self) -> Found | None:
        return self.last(Released)

    @property
    def withdrawn(self) -> Found | None:
        return self.last(ReleaseWithdrawn)

    @property
    def trouble(self) -> tuple[str, ...]:
        """Breaks, restarts and faults, oldest first, as the record calls them."""
        kinds = (SoakBroken, CleaningRestarted, FaultReported, Quarantined)
        return tuple(_trouble(event) for _, event in self.timeline.all_of(*kinds))

    def last(self, *kinds: type[Event]) -> Found | None:
        found = self.timeline.all_of(*kinds)
        return found[-1] if found else None

    def done(self, what: str) -> Written | None:
        """When an act was last stated, and by whom."""
        stated = [each for each, event in self.timeline.all_of(StepDone) if event.what == what]
        return stated[-1] if stated else None

    # -- soaks ----------------------------------------------------------------------------------

    @property
    def detergent(self) -> Found | None:
        return self.last(DetergentSoakBegan)

    @property
    def detergent_lasted(self) -> timedelta | None:
        ended = self.last(DetergentSoakEnded)
        return ended[1].lasted if ended else None

    @property
    def immersed(self) -> Found | None:
        return self.last(Immersed)

    @property
    def contact_needed(self) -> timedelta:
        """By the protocol, in a bath as warm as it was measured at IN and at OUT."""
        measured = (each[1].celsius for each in (self.immersed, self.taken_out) if each)
        return contact_time(self.protocol, *measured)

    @property
    def taken_out(self) -> Found | None:
        """The end of the last soak, unless that one was broken."""
        out, into = self.last(TakenOut), self.immersed
        return out if out and into and out[0].seq > into[0].seq else None

    # -- the solution, from the bath back to the jug --------------------------------------------

    @property
    def bath(self) -> Found | None:
        into = self.immersed
        return self._poured(into[1].bath, into[0], Kind.BATH) if into else None

    @property
    def bottle(self) -> Found | None:
        bath = self.bath
        return self._poured(bath[1].source, bath[0], Kind.BOTTLE) if bath else None

    @property
    def jug(self) -> Found | None:
        poured = self.bottle or self.bath
        return self._ground(JugOpened, "tag", poured[1].source, poured[0]) if poured else None

    @property
    def activated(self) -> Found | None:
        """When its jug was activated or mixed, where that was told before it was poured."""
        poured = self.bottle or self.bath
        found = self._ground(JugActivated, "tag", poured[1].source, poured[0]) if poured else None
        return found if found and self.jug and found[0].seq > self.jug[0].seq else None

    # -- the strip ------------------------------------------------------------------------------

    @property
    def strip_read(self) -> Found | None:
        """The strip whose pass this soak rests on; before a soak, the last one read for it."""
        into = self.immersed
        if into is None:
            return self.last(StripRead)
        return self._ground(StripRead, "test", into[1].strip_test, into[0])

    @property
    def evidence(self) -> Found | None:
        """What was stated of the bath of the last soak, where no strip exists for it."""
        into, stated = self.immersed, self.last(EvidenceStated)
        return stated if stated and into and stated[1].bath == into[1].bath else None

    @property
    def strip_dipped(self) -> Found | None:
        read = self.strip_read
        return self._ground(StripDipped, "test", read[1].test, read[0]) if read else None

    @property
    def strips(self) -> Found | None:
        read = self.strip_read
        return self._ground(StripBottleOpened, "tag", read[1].strips, read[0]) if read else None

    @property
    def strips_checked(self) -> Found | None:
        """Their quality control, where it was done after they had been opened."""
        read = self.strip_read
        return self._ground(StripsChecked, "tag", read[1].strips, read[0]) if read else None

    @property
    def strips_passed(self) -> bool:
        """Whether those strips had passed their quality control before they were read (S4)."""
        later = self.strips_checked
        return bool(later[1].passed if later else self.strips and self.strips[1].checked)

    # -- patients -------------------------------------------------------------------------------

    @property
    def uses_after(self) -> tuple[tuple[datetime, str], ...]:
        """Uses on this release: when they were said, and the patient's code."""
        uses: list[Found] = [*self.timeline.all_of(DeviceUsed, UseWithoutCode)]
        return tuple(
            (each.stamped.at, self._patient(event))
            for each, event in uses
            if event.cycle == self.timeline.cycle
        )

    @property
    def use_before(self) -> tuple[datetime, str] | None:
        """The use that made this cleaning due."""
        device, began = self.timeline.device, self.timeline.began
        for each in reversed(self.timeline.grounds):
            event: Any = each.stamped.event
            if each.seq < began.seq and _is_use(event) and event.device == device:
                return each.stamped.at, self._patient(event)
        return None

    def _patient(self, event: Any) -> str:
        if isinstance(event, DeviceUsed):
            return event.patient
        given = self.timeline.ground(UseCodeGiven, lambda each: each.use == event.use)
        said: Any = given.stamped.event if given else None
        return str(said.patient) if said else PENDING

    # -- corrections ----------------------------------------------------------------------------

    @property
    def corrections(self) -> list[tuple[Written, int, Corrected]]:
        """What was corrected of all this: the entry as it stands, and by which other (S15)."""
        both = {each.seq: each for each in (*rests_on(self), *self.timeline.entries)}
        return [
            (both[said.entry], seq, said)
            for seq, said in self.timeline.all_corrections
            if said.entry in both
        ]

    # -- finding --------------------------------------------------------------------------------

    def _poured(self, tag: str, before: Written, kind: Kind) -> Found | None:
        found = self._ground(Poured, "tag", tag, before)
        return found if found and found[1].kind is kind else None

    def _ground(self, kind: type[Event], key: str, value: str, before: Written) -> Found | None:
        found = self.timeline.ground(
            kind, lambda event: getattr(event, key) == value, before=before.seq
        )
        return (found, found.stamped.event) if found else None


def rests_on(facts: Facts) -> Iterator[Written]:
    """The entries outside a cycle that it rests on: solution, strip, device."""
    device, began = facts.timeline.device, facts.timeline.began
    enrolled = facts.timeline.ground(
        DeviceEnrolled, lambda event: event.device == device, before=began.seq
    )
    solution = (facts.jug, facts.activated, facts.bottle, facts.bath)
    strip = (facts.strips, facts.strips_checked, facts.strip_dipped, facts.strip_read)
    if enrolled:
        yield enrolled
    yield from (each[0] for each in (*solution, *strip) if each)


def _is_use(event: Event) -> bool:
    return isinstance(event, DeviceUsed | UseWithoutCode)


def _trouble(event: Any) -> str:
    if isinstance(event, FaultReported):
        return "fault reported"
    names = {SoakBroken: "soak broken", CleaningRestarted: "cleaned again"}
    return f"{names.get(type(event), 'quarantined')}: {event.because}"

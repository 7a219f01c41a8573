"""What the acts of a cycle make of it, its device and its bath."""

from dataclasses import replace
from typing import Any

from flows.parts.clinic import Batch, Bell, Clinic, Container, Cycle, Pass, Release, Soak, Standing
from flows.parts.events import (
    AnsweredTooSoon,
    BathChosen,
    CautionsAcknowledged,
    CleanedForRepair,
    CleaningRestarted,
    CycleAbandoned,
    CycleBegan,
    CycleTaken,
    CycleVoided,
    DetergentSoakBegan,
    DetergentSoakEnded,
    Immersed,
    PutInBath,
    Released,
    SoakBroken,
    Stamped,
    StepDone,
    TakenOut,
)
from flows.parts.state.change import (
    CONTACT_BELLS,
    SOAK_BELLS,
    add_bell,
    apply,
    change,
    drop,
    free_bath,
    hush,
    put,
    spend,
    spend_pass,
)
from flows.parts.state.dips import put_in_since

INSPECTIONS = frozenset({"inspect", "inspect_after", "final_inspect"})


@apply.register
def cycle_began(event: CycleBegan, clinic: Clinic, stamped: Stamped) -> Clinic:
    cycle = Cycle(
        id=event.cycle,
        device=event.device,
        person=stamped.person or "",
        level=event.level,
        protocol=event.protocol,
        for_repair=event.for_repair,
    )
    clinic = replace(clinic, cycles=put(clinic.cycles, event.cycle, cycle))
    device = clinic.devices[event.device]
    quarantined = device.standing is Standing.QUARANTINED
    return change(
        clinic,
        "devices",
        event.device,
        cycle=event.cycle,
        standing=Standing.QUARANTINED if quarantined else Standing.IN_CYCLE,
        why=device.why if quarantined else "in_cycle",
        release=None,
    )


@apply.register
def cautions(event: CautionsAcknowledged, clinic: Clinic, stamped: Stamped) -> Clinic:
    if event.person not in clinic.people:
        return clinic
    person = replace(clinic.people[event.person], cautions_at=stamped.at)
    return replace(clinic, people=put(clinic.people, event.person, person))


@apply.register
def step_done(event: StepDone, clinic: Clinic, stamped: Stamped) -> Clinic:
    if event.what in INSPECTIONS:
        clinic = change(clinic, "devices", event.device, inspected_at=stamped.at)
    cycle = clinic.cycles.get(event.cycle)
    if cycle is None:
        return clinic
    again = cycle.inspect_again and event.what != "inspect_after"
    source = clinic.containers.get(event.container)
    if source:
        known = _and_this(source, event.cycle)
        clinic = change(clinic, "containers", source.tag, cycles=known)
    return change(
        clinic,
        "cycles",
        event.cycle,
        done=cycle.done | {event.what},
        inspect_again=again,
        batches=_and_too(cycle, _of(clinic, event.container)),
    )


def _of(clinic: Clinic, tag: str) -> tuple[Batch, ...]:
    container = clinic.containers.get(tag)
    return (Batch(container.product, container.lot),) if container else ()


def _and_this(container: Container, cycle: str) -> tuple[str, ...]:
    """What a failed strip voids: whatever the solution has touched, the wipe too (S4)."""
    return tuple(dict.fromkeys((*container.cycles, cycle)))


def _and_too(cycle: Cycle, batches: tuple[Batch, ...]) -> tuple[Batch, ...]:
    """What it rested on before, the wipe of handle and cable too, it still rests on (S18)."""
    return tuple(dict.fromkeys((*cycle.batches, *batches)))


@apply.register
def too_soon(event: AnsweredTooSoon, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "threads", event.thread, hurried=True)


@apply.register
def detergent_began(event: DetergentSoakBegan, clinic: Clinic, stamped: Stamped) -> Clinic:
    soak = Soak(stamped.at, event.due, event.number)
    clinic = spend(
        change(clinic, "cycles", event.cycle, detergent=soak), event.cycle, event.number
    )
    bell = Bell(f"{event.cycle}.detergent", "detergent", event.due, cycle=event.cycle)
    return add_bell(clinic, bell)


@apply.register
def detergent_ended(event: DetergentSoakEnded, clinic: Clinic, _: Stamped) -> Clinic:
    clinic = hush(clinic, event.cycle, frozenset({"detergent"}))
    cycle = clinic.cycles.get(event.cycle)
    done = (cycle.done if cycle else frozenset()) | {"detergent_soak"}
    return change(clinic, "cycles", event.cycle, detergent=None, done=done)


@apply.register
def bath_chosen(event: BathChosen, clinic: Clinic, _: Stamped) -> Clinic:
    cycle = clinic.cycles.get(event.cycle)
    if cycle is None:
        return clinic
    # Another bath is another container: what was said of the old one is not said of it (S1).
    done = cycle.done if cycle.bath == event.bath else cycle.done - {"container"}
    return change(clinic, "cycles", event.cycle, bath=event.bath, done=done)


@apply.register
def put_in_bath(event: PutInBath, clinic: Clinic, stamped: Stamped) -> Clinic:
    """S4, S5: it has used up a pass and a soak, and a strip that fails there voids it too.

    Warmed and put in again it is the same use: that is counted once.
    """
    cycle, bath = clinic.cycles.get(event.cycle), clinic.containers.get(event.bath)
    was_in = cycle is not None and cycle.been_in == event.bath
    batches = _and_too(cycle, _of(clinic, event.bath)) if cycle else ()
    clinic = change(clinic, "cycles", event.cycle, been_in=event.bath, batches=batches)
    if bath is None:
        return clinic
    return change(
        clinic,
        "containers",
        event.bath,
        cycles=_and_this(bath, event.cycle) if event.cycle else bath.cycles,
        uses=bath.uses + (not was_in),
        passed=_used_up(bath.passed, event.cycle),
        dips=put_in_since(bath),
        disturbed_at=stamped.at,
    )


def _used_up(passed: Pass | None, cycle: str) -> Pass | None:
    """S4: by *cycle*; what another has soaked on before is spent, and is nobody's any more."""
    if passed is None or passed.used_by in {None, cycle}:
        return replace(passed, used_by=cycle) if passed else None
    return replace(passed, used_by=f"{cycle} was in")


@apply.register
def immersed(event: Immersed, clinic: Clinic, stamped: Stamped) -> Clinic:
    soak = Soak(stamped.at, event.due, event.number)
    cycle = clinic.cycles.get(event.cycle)
    batches = _and_too(cycle, _rests_on(clinic, event)) if cycle else ()
    was_in = cycle is not None and cycle.been_in == event.bath
    clinic = change(
        clinic,
        "cycles",
        event.cycle,
        contact=soak,
        celsius_in=event.celsius,
        batches=batches,
        been_in="",
    )
    clinic = spend(clinic, event.cycle, event.number)
    clinic = add_bell(
        clinic, Bell(f"{event.cycle}.contact", "contact", event.due, cycle=event.cycle)
    )
    bath = clinic.containers.get(event.bath)
    if bath is None:
        return clinic
    passed = replace(bath.passed, used_by=event.cycle) if bath.passed else None
    return change(
        clinic,
        "containers",
        event.bath,
        cycles=_and_this(bath, event.cycle),
        uses=bath.uses + (not was_in),
        in_use_by=event.cycle,
        passed=passed,
        dips=put_in_since(bath),
        disturbed_at=stamped.at,
    )


def _rests_on(clinic: Clinic, event: Immersed) -> tuple[Batch, ...]:
    """The lot of the bath, and that of the strips whose pass this soak began on."""
    soaked_in = _of(clinic, event.bath)
    passes = [each.passed for each in clinic.containers.values() if each.passed]
    strips = [each.strips for each in passes if each.test == event.strip_test and each.strips]
    return (*soaked_in, *strips[:1])


@apply.register
def soak_broken(event: SoakBroken, clinic: Clinic, _: Stamped) -> Clinic:
    clinic = free_bath(hush(clinic, event.cycle, CONTACT_BELLS), event.cycle)
    return change(clinic, "cycles", event.cycle, contact=None)


@apply.register
def taken_out(event: TakenOut, clinic: Clinic, _: Stamped) -> Clinic:
    clinic = free_bath(hush(clinic, event.cycle, CONTACT_BELLS), event.cycle)
    cycle = clinic.cycles.get(event.cycle)
    done = (cycle.done if cycle else frozenset()) | {"contact_soak"}
    return change(
        clinic, "cycles", event.cycle, contact=None, done=done, inspect_again=event.over_maximum
    )


@apply.register
def cleaning_restarted(event: CleaningRestarted, clinic: Clinic, _: Stamped) -> Clinic:
    cycle = clinic.cycles.get(event.cycle)
    if cycle is None:
        return clinic
    clinic = free_bath(hush(clinic, event.cycle, SOAK_BELLS), event.cycle)
    clinic = spend_pass(clinic, event.cycle)
    return change(
        clinic,
        "cycles",
        event.cycle,
        done=frozenset() if event.inspect_again else cycle.done & {"inspect"},
        bath=None,
        detergent=None,
        contact=None,
        celsius_in=None,
        been_in="",
        batches=(),
        passes=cycle.passes + 1,
        inspect_again=cycle.inspect_again and not event.inspect_again,
    )


@apply.register
def released(event: Released, clinic: Clinic, stamped: Stamped) -> Clinic:
    cycle = clinic.cycles.get(event.cycle)
    batches = cycle.batches if cycle else ()
    return close(
        clinic,
        event.cycle,
        event.device,
        standing=Standing.RELEASED,
        why="",
        release=Release(event.code, event.cycle, stamped.at, event.until, batches),
        last_code=event.code,
        last_cycle=event.cycle,
        use_owed=True,
        uses=(),
    )


@apply.register
def cleaned_for_repair(event: CleanedForRepair, clinic: Clinic, _: Stamped) -> Clinic:
    return close(clinic, event.cycle, event.device, standing=Standing.NOT_READY, why="for_repair")


@apply.register
def abandoned(event: CycleAbandoned, clinic: Clinic, _: Stamped) -> Clinic:
    return close(clinic, event.cycle, event.device, standing=Standing.NOT_READY, why="abandoned")


@apply.register
def voided(event: CycleVoided, clinic: Clinic, _: Stamped) -> Clinic:
    if event.cycle not in clinic.cycles:
        return clinic
    return close(clinic, event.cycle, event.device, standing=Standing.NOT_READY, why="voided")


@apply.register
def taken_over(event: CycleTaken, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "cycles", event.cycle, person=event.person)


def close(clinic: Clinic, cycle: str, label: str, **changes: Any) -> Clinic:
    """End a cycle that is still open; the device keeps a quarantine whatever else is said."""
    clinic = free_bath(hush(clinic, cycle, SOAK_BELLS), cycle)
    clinic = replace(clinic, cycles=drop(clinic.cycles, [cycle]))
    device = clinic.devices[label]
    if device.standing is Standing.QUARANTINED:
        changes = {**changes, "standing": device.standing, "why": device.why}
    return change(clinic, "devices", label, cycle=None, **changes)

"""What pouring and testing make of containers."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from flows.parts.clinic import (
    DOUBLED_WITHIN,
    Batch,
    Clinic,
    Container,
    Fitness,
    Kind,
    Pass,
    StripBottle,
)
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    EvidenceStated,
    JugActivated,
    JugOpened,
    LifeShortened,
    Mixed,
    Poured,
    Stamped,
    StripBottleOpened,
    StripDipped,
    StripRead,
    StripsChecked,
)
from flows.parts.look_back import Dip
from flows.parts.state.change import apply, change, drop, put
from flows.parts.state.cleared import cleared_by, withdrawn_of, withdrawn_since
from flows.parts.state.dips import dip_in, dip_of, is_of_before, may_yet_fail

HIGHEST = 99
"""Tags of two figures are short enough for every text and every label; then it begins again."""


@apply.register
def jug_opened(event: JugOpened, clinic: Clinic, _: Stamped) -> Clinic:
    return _new(clinic, event, Kind.JUG, event.opened, expires=event.expires)


def _new(
    clinic: Clinic, event: JugOpened | Poured | Mixed, kind: Kind, since: datetime, **own: Any
) -> Clinic:
    """Another container, with what every entry says of one, and what is its *own* kind's alone."""
    container = Container(
        tag=event.tag,
        kind=kind,
        product=event.product,
        lot=event.lot,
        since=since,
        discard_by=event.discard_by,
        because=event.because,
        fitness=_fitness(clinic, Batch(event.product, event.lot)),
        volume_ml=event.volume_ml,
        **{"source": None, **own},
    )
    site = clinic.site and replace(clinic.site, given=_given(clinic.site.given, event.tag))
    return replace(clinic, site=site, containers=put(clinic.containers, event.tag, container))


def _given(before: tuple[str, ...], tag: str) -> tuple[str, ...]:
    """What a desk enters of an earlier tag sets nothing back: that one has been given before."""
    last = last_given(before, tag[0])
    if int(tag[1:]) < last < HIGHEST:
        return before
    return (*(each for each in before if each[0] != tag[0]), tag)


def last_given(given: tuple[str, ...], letter: str) -> int:
    """The number of the last tag of that *letter* among those *given*; 0 for none."""
    return next((int(each[1:]) for each in given if each[0] == letter), 0)


def _fitness(clinic: Clinic, batch: Batch) -> Fitness:
    """S18: what is of a recalled lot is condemned from its first moment on."""
    return Fitness.CONDEMNED if clinic.recall_of(batch) else Fitness.GOOD


@apply.register
def jug_activated(event: JugActivated, clinic: Clinic, _: Stamped) -> Clinic:
    return change(
        clinic,
        "containers",
        event.tag,
        activated_at=event.activated,
        discard_by=event.discard_by,
        because=event.because,
    )


@apply.register
def life_shortened(event: LifeShortened, clinic: Clinic, _: Stamped) -> Clinic:
    """S5: earlier only; one that is no earlier than what stands changes nothing.

    What strips have cleared past their date is not cleared by them (S4).
    """
    ends = {"discard_by": event.discard_by, "because": event.because}
    container, bottle = clinic.containers.get(event.tag), clinic.strips.get(event.tag)
    if container and event.discard_by < container.discard_by:
        clinic = change(clinic, "containers", event.tag, **ends)
    if bottle and event.discard_by < bottle.discard_by:
        clinic = withdrawn_since(clinic, bottle, max(event.discard_by, bottle.opened))
        clinic = change(clinic, "strips", event.tag, **ends)
    return clinic


@apply.register
def poured(event: Poured, clinic: Clinic, _: Stamped) -> Clinic:
    source = clinic.containers.get(event.source)
    first = source.first_poured if source else None
    first_poured = first or event.poured
    return _new(
        clinic, event, event.kind, event.poured, source=event.source, first_poured=first_poured
    )


@apply.register
def mixed(event: Mixed, clinic: Clinic, stamped: Stamped) -> Clinic:
    """What was mixed before and is past its date is cleared away: a batch lasts a day."""
    past = [
        each.tag
        for each in clinic.containers.values()
        if each.kind is Kind.MIXED and each.discard_by <= stamped.at
    ]
    kept = replace(clinic, containers=drop(clinic.containers, past))
    return _new(
        kept, event, Kind.MIXED, event.mixed, strength=event.strength, source=event.source or None
    )


@apply.register
def evidence_stated(event: EvidenceStated, clinic: Clinic, stamped: Stamped) -> Clinic:
    """S4: it stands where a strip's pass would, for this cycle and for no other."""
    passed = Pass("", stamped.at, event.good_until, used_by=event.cycle)
    return change(clinic, "containers", event.bath, passed=passed)


@apply.register
def strips_opened(event: StripBottleOpened, clinic: Clinic, _: Stamped) -> Clinic:
    """S4: tested as it was opened, and failed: those strips judge nothing, for good."""
    failed = not event.checked and (event.qc_good or event.qc_diluted)
    fitness = _fitness(clinic, Batch(event.product, event.lot))
    strips = StripBottle(
        tag=event.tag,
        product=event.product,
        lot=event.lot,
        opened=event.opened,
        discard_by=event.discard_by,
        checked=event.checked,
        fitness=Fitness.CONDEMNED if failed else fitness,
        because=event.because,
        expires=event.expires,
    )
    return replace(clinic, strips=put(clinic.strips, event.tag, strips))


@apply.register
def strips_checked(event: StripsChecked, clinic: Clinic, _: Stamped) -> Clinic:
    """S4: strips that fail their own control judge nothing, for good; nor have they ever."""
    bottle = clinic.strips.get(event.tag)
    if event.passed or bottle is None:
        return change(clinic, "strips", event.tag, checked=True)
    if bottle.checked:
        clinic = withdrawn_of(clinic, bottle)
    gone = bottle.fitness is Fitness.DISCARDED
    fitness = Fitness.DISCARDED if gone else Fitness.CONDEMNED
    return change(clinic, "strips", event.tag, checked=False, fitness=fitness)


@apply.register
def strip_dipped(event: StripDipped, clinic: Clinic, stamped: Stamped) -> Clinic:
    container = clinic.containers.get(event.container)
    if container and not is_of_before(container, event, stamped.at):
        dips = (*container.dips, dip_in(clinic, container, event, stamped.at))
        clinic = change(clinic, "containers", container.tag, dips=dips)
    phone = clinic.phones.get(stamped.phone or "")
    if phone is None:
        return clinic
    soon = phone.tested_at is not None and stamped.at - phone.tested_at < DOUBLED_WITHIN
    tests = phone.tests + 1 if soon else 1
    return change(clinic, "phones", phone.id, tests=tests, tested_at=stamped.at)


@apply.register
def strip_read(event: StripRead, clinic: Clinic, stamped: Stamped) -> Clinic:
    clinic = replace(clinic, bells=drop(clinic.bells, [f"{event.test}.strip"]))
    clinic = change(clinic, "phones", stamped.phone or "", tested_at=stamped.at)
    container = clinic.containers.get(event.container)
    if container is None:
        return clinic
    dip = dip_of(container, event.test)
    left = replace(container, dips=tuple(each for each in container.dips if each != dip))
    if event.outcome == "pass" and event.good_until is not None:
        strips = clinic.strips.get(event.strips)
        batch = Batch(strips.product, strips.lot) if strips else None
        passed = Pass(event.test, stamped.at, event.good_until, strips=batch)
        left = _passed(left, passed, dip or dip_in(clinic, container, event, stamped.at))
    elif event.outcome == "no_result" and dip:
        left = replace(left, no_result_on=max(event.day, left.no_result_on or event.day))
    elif left.passed and left.passed.test == event.test:
        left = _passed_by_mistake(left, left.passed)
    return replace(clinic, containers=put(clinic.containers, left.tag, left))


def _passed(container: Container, passed: Pass, dip: Dip) -> Container:
    """A pass clears what had been in it before the dip, and nothing else: a bath weakens in use.

    What was poured from that keeps its cycles, though a site take the bottle's pass for its bath.
    What has gone in since uses the pass up. It brings nothing back: neither what is gone, nor
    what waits for the supervisor after two strips without a result.
    """
    cleared = cleared_by(passed.strips, dip, container)
    held = container.fitness is Fitness.HELD and container.why != "no_result"
    if not held and container.fitness is not Fitness.GOOD:
        return cleared
    spent = f"{dip.test} before" if dip.is_used_up else None
    gone = tuple(each for each in container.cycles if each not in cleared.cycles)
    passed = replace(passed, used_by=container.in_use_by or spent, cleared=gone)
    return replace(cleared, passed=passed, fitness=Fitness.GOOD)


def _passed_by_mistake(container: Container, passed: Pass) -> Container:
    """S4: the same strip has been read otherwise at once: its pass has cleared nothing."""
    cycles = tuple(dict.fromkeys((*passed.cleared, *container.cycles)))
    return replace(container, passed=None, cycles=cycles)


@apply.register
def container_held(event: ContainerHeld, clinic: Clinic, stamped: Stamped) -> Clinic:
    """S6: what may have been topped up is judged by no strip that was dipped before.

    S4: strips that are held lack their control, and have cleared nothing.
    """
    bottle = clinic.strips.get(event.tag)
    if bottle:
        return change(withdrawn_of(clinic, bottle), "strips", event.tag, checked=False)
    if event.because == "may_be_topped":
        clinic = change(clinic, "containers", event.tag, dips=(), disturbed_at=stamped.at)
    return change(
        clinic,
        "containers",
        event.tag,
        fitness=Fitness.HELD,
        why=event.because,
        passed=None,
    )


@apply.register
def container_condemned(event: ContainerCondemned, clinic: Clinic, _: Stamped) -> Clinic:
    """S4: its cycles are void with its own strip; else what it came from may still fail one."""
    known = clinic.containers.get(event.tag)
    cycles = known.cycles if known and event.because != "strip_failed" else ()
    clinic = change(clinic, "strips", event.tag, fitness=Fitness.CONDEMNED)
    gone = known is not None and known.fitness is Fitness.DISCARDED
    return change(
        clinic,
        "containers",
        event.tag,
        fitness=Fitness.DISCARDED if gone else Fitness.CONDEMNED,
        why=event.because,
        passed=None,
        cycles=cycles,
    )


@apply.register
def container_discarded(event: ContainerDiscarded, clinic: Clinic, _: Stamped) -> Clinic:
    """A discarded container is kept while anything it came from, or that came from it, is.

    Its cycles may yet fall, and what came from it is kin (S4). So it is while a strip that was
    dipped in it, or in what it came from, is still to be read.
    """
    clinic = change(clinic, "strips", event.tag, fitness=Fitness.DISCARDED)
    clinic = change(clinic, "containers", event.tag, fitness=Fitness.DISCARDED, passed=None)
    gone = [
        container.tag
        for container in clinic.containers.values()
        if container.fitness is Fitness.DISCARDED
        and _source_is_gone(clinic, container)
        and not _feeds_any(clinic, container.tag)
        and not may_yet_fail(clinic, container)
    ]
    return replace(clinic, containers=drop(clinic.containers, gone))


def _feeds_any(clinic: Clinic, tag: str) -> bool:
    poured = [each for each in clinic.containers.values() if each.source == tag]
    return any(
        each.fitness is not Fitness.DISCARDED or _feeds_any(clinic, each.tag) for each in poured
    )


def _source_is_gone(clinic: Clinic, container: Container) -> bool:
    source = clinic.containers.get(container.source or "")
    if source is None:
        return True
    return source.fitness is Fitness.DISCARDED and _source_is_gone(clinic, source)

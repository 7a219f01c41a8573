"""S4: pass, fail, or no result; how long a pass stays good; what falls with a failed strip."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from flows.calculations.calendar import end_of_day, local_day
from flows.parts.clinic import (
    AT_HAND,
    Batch,
    Choice,
    Clinic,
    Container,
    Fitness,
    Kind,
    Pass,
    StripBottle,
    Thread,
)
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerHeld,
    CycleVoided,
    Event,
    ReleaseWithdrawn,
    StripRead,
)
from flows.parts.look_back import InDoubt
from flows.parts.state.cleared import withdrawn_of
from flows.parts.state.dips import is_awaited, is_to_be_read
from flows.parts.text import Text, say
from flows.protocols.fields import STRIP_POLICIES
from flows.protocols.model import Chemistry, CycleProtocol, StripProduct
from flows.rules.container_life import has_uses_left

BATH_BEFORE_EACH_USE, BOTTLE_DAILY, _ = STRIP_POLICIES

STRIP_FAILED, KIN_FAILED = "strip_failed", "kin_failed"
STRIPS_RECALLED = "strips_recalled"
STRIPS_FAILED = "strips_failed"
MAY_BE_TOPPED = "may_be_topped"
FREED_BY_A_STRIP = frozenset({KIN_FAILED, STRIPS_RECALLED, STRIPS_FAILED, MAY_BE_TOPPED})
PASS, FAIL, NO_RESULT = "pass", "fail", "no_result"
EARLY, LATE, DIP_CARRIED = "early", "late", "dip_carried_late"
"""Why a strip says nothing; the last where a carrier alone has left its age open."""
UNSURE = "unsure"


@dataclass(frozen=True, slots=True)
class Judged:
    """What a strip says of a solution, and why where it says nothing."""

    outcome: str
    because: str = ""


@dataclass(frozen=True, slots=True)
class Age:
    """How old a strip was when it was read: the *least* and the *most* that the evidence allows.

    Least is from when DIP was handled to when the reading was sent; most is from when DIP was sent
    to when the reading was handled. A carrier may have kept either text between (S2, S4).
    """

    least: timedelta
    most: timedelta


def strips_at_hand(clinic: Clinic, product: StripProduct, now: datetime) -> StripBottle | None:
    """The strip bottle to use: of the right product, in date, checked; the first to run out."""
    usable = [
        bottle
        for bottle in clinic.strips.values()
        if bottle.product == product.name and is_usable(bottle, now)
    ]
    return min(usable, key=lambda bottle: bottle.discard_by, default=None)


def strips_to_check(clinic: Clinic, product: StripProduct, now: datetime) -> StripBottle | None:
    """A bottle of the right product that only lacks its quality control; the first to run out."""
    found = [
        bottle
        for bottle in clinic.strips.values()
        if bottle.product == product.name and lacks_its_check(bottle, now)
    ]
    return min(found, key=lambda bottle: bottle.discard_by, default=None)


def lacks_its_check(bottle: StripBottle, now: datetime) -> bool:
    """S4: in date and good, but never tested itself."""
    return not bottle.checked and is_usable(replace(bottle, checked=True), now)


def is_usable(bottle: StripBottle, now: datetime) -> bool:
    """S4: a bottle out of date, or not quality-controlled, gives no result."""
    return bottle.checked and bottle.fitness is Fitness.GOOD and now < bottle.discard_by


def strips_stand(clinic: Clinic, tag: str, dipped: datetime) -> bool:
    """S4: whether strips that were good when *dipped* still judge; their bottle may be empty.

    A recall of theirs, a control that they fail after all, or a date that turns out to have been
    over by then undoes what they show.
    """
    bottle = clinic.strips.get(tag)
    if bottle is None or not bottle.checked or bottle.fitness is Fitness.CONDEMNED:
        return False
    if dipped >= bottle.discard_by:
        return False
    return clinic.recall_of(Batch(bottle.product, bottle.lot)) is None


def is_judging(clinic: Clinic, thread: Thread) -> bool:
    """S4: whether what is asked in *thread* is what a strip shows that can still show anything."""
    memo = thread.top.memo
    return is_to_be_read(thread) and strips_stand(
        clinic, memo.get("strips", ""), datetime.fromisoformat(memo["dipped"])
    )


def judge(
    seen: str, age: Age, product: StripProduct, *, strips_good: bool, own_watch: bool
) -> Judged:
    """S4: patchy is a fail, not sure is a fail; read outside its window it is no result.

    What a carrier may have done to *age* counts against the solution: a pass must be in its window
    at the least age and at the most, and a fail is too early only where the most is. *own_watch*
    is a site's choice to trust the worker's watch instead. *seen* is 'pass', 'fail' or 'unsure'.
    A fail that comes too late is still a fail.
    """
    if not strips_good:
        return Judged(NO_RESULT, "strips")
    counts = age.least if seen == PASS else age.most
    if counts < product.read_after and not own_watch:
        return Judged(NO_RESULT, EARLY if age.most < product.read_after else DIP_CARRIED)
    if seen != PASS:
        return Judged(FAIL, "" if seen == FAIL else UNSURE)
    if age.most > longest_age(product) and not own_watch:
        return Judged(NO_RESULT, why_late(age, product))
    return Judged(PASS)


def why_late(age: Age, product: StripProduct) -> str:
    """S4: whether somebody has read it too late, or a carrier has brought its dip so."""
    was_carried = age.least < age.most
    return DIP_CARRIED if was_carried and age.least <= longest_age(product) else LATE


def longest_age(product: StripProduct) -> timedelta:
    """S4: from the dip to the end of the window in which the colour may be read."""
    return product.dip_for + product.read_after + product.read_within


def age_is_proved(age: Age, product: StripProduct) -> bool:
    """S4: whether the texts alone place the reading inside its window."""
    return product.read_after <= age.least and age.most <= longest_age(product)


def too_quick_by_watch(product: StripProduct) -> timedelta:
    """S10: a pass sooner after the dip is asked about, though the worker's watch be trusted.

    Half the wait, half a minute at most, as a carrier may have kept the dip so long.
    Source: common practice, none published.
    """
    return min(product.read_after / 2, timedelta(seconds=30))


def trusts_own_watch(choices: tuple[Choice, ...]) -> bool:
    """S4: whether the site lets the worker's watch decide where the texts leave it open."""
    return any((each.key, each.value) == ("strip_timing", "own_watch") for each in choices)


def good_until(container: Container, read_at: datetime, zone: ZoneInfo) -> datetime:
    """S4: a pass ends with the day, or with the solution's own date if that is sooner (S5)."""
    return min(end_of_day(local_day(read_at, zone), zone), container.discard_by)


def pass_of(
    clinic: Clinic, bath: Container, cycle: str, protocol: CycleProtocol, now: datetime
) -> Pass | None:
    """S4: the pass that this cycle may soak on in *bath*: its own, or one nobody has used yet.

    Where the site tests the bottle daily, the bottle's pass stands for the bath poured from it.
    Strips that are made for something else have passed nothing; what is held waits for its own.
    """
    if bath.fitness is Fitness.HELD:
        return None
    passed = bath.passed
    if protocol.strip_policy == BOTTLE_DAILY:
        tested = clinic.containers.get(bath.source or "", bath)
        passed = tested.passed or passed
    elif passed and passed.used_by not in {None, cycle}:
        return None
    if passed is None or now >= passed.good_until:
        return None
    made_for_it = passed.strips is None or passed.strips.product == protocol.strip.name
    return passed if made_for_it else None


def none_exists(chemistry: Chemistry) -> Text:
    """S4: what is said where a strip is asked for and the product has none."""
    return say(
        "strip.none_exists",
        "No strip exists for {product}: each soak has a new bath, mixed in its cleaning.",
        product=chemistry.title,
    )


def is_sound(container: Container, now: datetime) -> bool:
    """S5: neither held nor condemned nor discarded, and in date."""
    return container.fitness is Fitness.GOOD and now < container.discard_by


def baths_for_use(clinic: Clinic, chemistry: Chemistry, now: datetime) -> tuple[Container, ...]:
    """S4, S5: filled baths of the product that are sound and have a soak left."""
    return tuple(
        each
        for each in clinic.containers.values()
        if each.kind is Kind.BATH
        and each.product == chemistry.name
        and has_uses_left(each.uses, chemistry)
        and is_sound(each, now)
    )


def may_be_tested(container: Container, now: datetime) -> bool:
    """S4: in date and not condemned. What is held for its kin is freed by a strip of its own.

    So is what had been passed by strips that are recalled. What is held for a second strip
    without a result waits for the supervisor.
    """
    held_for_a_strip = container.fitness is Fitness.HELD and container.why in FREED_BY_A_STRIP
    good = container.fitness is Fitness.GOOD
    return (good or held_for_a_strip) and now < container.discard_by


def fell_by_a_strip(container: Container) -> bool:
    """S4: condemned by a failed strip, or held for one that failed in its kin."""
    unfit = container.fitness in {Fitness.CONDEMNED, Fitness.HELD}
    return unfit and container.why in {STRIP_FAILED, KIN_FAILED}


def second_no_result(container: Container, *reads: StripRead) -> bool:
    """S4: no result may be repeated once a day in one container; the second holds it."""
    days = [container.no_result_on, *(each.day for each in reads)]
    return len(set(days)) < len(days)


def never_read(
    clinic: Clinic, container: Container, now: datetime, zone: ZoneInfo
) -> tuple[StripRead, ...]:
    """S4: strips dipped in *container* that have no result: nobody reads them in time any more.

    Their window is over, or nobody is asked for them now. Strips that are recalled cost no test.
    """
    return tuple(
        StripRead(
            test=each.test,
            container=container.tag,
            strips=each.strips,
            cycle=each.cycle,
            outcome=NO_RESULT,
            seen="",
            because="never_read",
            age=now - each.at,
            age_proved=False,
            day=local_day(min(each.read_until, now), zone),
            good_until=None,
            lot=each.lot,
        )
        for each in container.dips
        if strips_stand(clinic, each.strips, each.at)
        and (now > each.read_until or not is_awaited(clinic, each.test))
    )


def same_liquid(clinic: Clinic, tag: str) -> tuple[Container, ...]:
    """The solution itself: the container and whatever was poured from it, and from that."""
    found = [tag]
    for each in found:
        found += [one.tag for one in clinic.containers.values() if one.source == each]
    return tuple(clinic.containers[each] for each in found if each in clinic.containers)


def kin(clinic: Clinic, tag: str) -> tuple[Container, ...]:
    """What came from the same jug or mix and is not the solution itself: held until tested."""
    origin = tag
    while (source := clinic.containers[origin].source) and source in clinic.containers:
        origin = source
    itself = {each.tag for each in same_liquid(clinic, tag)}
    return tuple(each for each in same_liquid(clinic, origin) if each.tag not in itself)


def fallen(
    clinic: Clinic, read: StripRead, case: str, after_all: InDoubt | None = None
) -> tuple[Event, ...]:
    """S4: what a failed strip does, all at once; *after_all*, where it was told otherwise before.

    The solution is condemned for good; its kin is held; every cycle in it, or wiped with it,
    since its last valid pass is void, at whatever step; releases that rest on them are withdrawn;
    a case is opened. A second strip of what has fallen already changes nothing.
    """
    is_here = after_all is None or after_all.is_here
    liquid = same_liquid(clinic, read.container) if is_here else ()
    known = (cycle for each in liquid for cycle in each.cycles)
    cycles = tuple(dict.fromkeys((*(after_all.cycles if after_all else ()), *known)))
    if not cycles and (not liquid or liquid[0].why == STRIP_FAILED):
        return ()
    events: list[Event] = [
        ContainerCondemned(each.tag, STRIP_FAILED) for each in liquid if _is_to_fall(each)
    ]
    events += [
        ContainerHeld(each.tag, KIN_FAILED)
        for each in (kin(clinic, read.container) if liquid else ())
        if each.fitness is Fitness.GOOD
    ]
    events += void(clinic, cycles, STRIP_FAILED)
    since = after_all.since if after_all else _known_good(liquid[0], liquid)
    events.append(CaseOpened(case, STRIP_FAILED, read.container, since, cycles))
    return tuple(events)


def _is_to_fall(container: Container) -> bool:
    """What is thrown away was condemned for nothing else before, as far as it says."""
    if container.fitness is Fitness.DISCARDED:
        return container.why in {"", NO_RESULT, *FREED_BY_A_STRIP}
    return container.fitness in AT_HAND


def _known_good(read: Container, liquid: tuple[Container, ...]) -> datetime | None:
    """S18: the last pass before the first cycle in doubt; each container has passes of its own."""
    passes = [each.passed for each in liquid if each.cycles] or [read.passed]
    moments = [each.at for each in passes if each]
    return min(moments) if len(moments) == len(passes) else None


def fallen_after_all(clinic: Clinic) -> tuple[str, ...]:
    """S4: in doubt again since strips are recalled, and their solution has failed meanwhile.

    It had failed when they still counted as cleared. What is in a case is looked back for already.
    """
    known = {cycle for case in clinic.cases.values() for cycle in case.cycles}
    failed = [each for each in clinic.containers.values() if each.why == STRIP_FAILED]
    return tuple(cycle for each in failed for cycle in each.cycles if cycle not in known)


def fallen_with_strips(clinic: Clinic, bottle: StripBottle, case: str) -> tuple[Event, ...]:
    """S4: strips that fail their control once they have judged, or somebody is not sure of it."""
    batch = Batch(bottle.product, bottle.lot)
    passes = [each.passed for each in clinic.containers.values() if each.passed]
    tests = {each.test for each in passes if each.strips == batch}
    return passed_in_vain(withdrawn_of(clinic, bottle), bottle.tag, tests, case)


def passed_in_vain(
    clinic: Clinic,
    strips: str,
    tests: Collection[str],
    case: str,
    known: Collection[str] = (),
) -> tuple[Event, ...]:
    """S4: what falls with *tests* of strips that turn out to have judged nothing.

    What they have passed waits for a strip of another bottle. What only they had cleared is in
    doubt again in *clinic*, and is void where its solution has failed since; cycles that are
    *known* to be void are so already.
    """
    held = [
        ContainerHeld(each.tag, STRIPS_FAILED)
        for each in clinic.containers.values()
        if each.fitness is Fitness.GOOD and each.passed and each.passed.test in tests
    ]
    cycles = tuple(each for each in fallen_after_all(clinic) if each not in known)
    if not cycles:
        return tuple(held)
    fell = void(clinic, cycles, STRIP_FAILED)
    return (*held, *fell, CaseOpened(case, STRIPS_FAILED, strips, None, cycles))


def void(clinic: Clinic, cycles: tuple[str, ...], because: str) -> list[Event]:
    """S4, S18: these cycles count for nothing, and no release rests on them any more."""
    events: list[Event] = []
    for cycle in cycles:
        running = clinic.cycles.get(cycle)
        rests = [
            device
            for device in clinic.devices.values()
            if device.release is not None and device.release.cycle == cycle
        ]
        device = running.device if running else rests[0].label if rests else ""
        events.append(CycleVoided(cycle, device, because))
        events += [ReleaseWithdrawn(each.label, cycle, because) for each in rests]
    return events

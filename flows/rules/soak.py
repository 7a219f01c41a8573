"""S2, S3, S11, S12: contact time by evidence, early, late, too long."""

from datetime import datetime, timedelta
from decimal import Decimal

from flows.calculations.pace import RINSED_DRIED_AND_IN
from flows.parts.clinic import Clinic, Container, Cycle, Frame, Kind, Soak, Thread
from flows.parts.events import BellSet, CleaningRestarted, SoakBroken
from flows.parts.situation import protocol_of
from flows.protocols.model import CycleProtocol

DETERGENT_MARGIN = timedelta(seconds=15)
"""S2: the detergent's bell rings this long after its time: people text with the probe in hand.
Source: common practice, none published."""

CLIMB = (timedelta(minutes=2), timedelta(minutes=2), timedelta(minutes=2))
"""S12: from the bell to a second bell, to a second phone, to the supervisor.
Source: common practice, none published."""

CALLS_OTHERS = CLIMB[0] + CLIMB[1]
"""From the bell to the second phone."""

SECOND_BELL, SECOND_PHONE, SUPERVISOR, MAXIMUM = 1, 2, 3, 4

NO_SOAK = timedelta(0)

STRAIGHT_BACK = timedelta(minutes=5)
"""S3: what came out of its bath and lies about for longer does not go straight back into it.
Source: common practice, none published."""

LATE = timedelta(seconds=30)
"""S11: a bell later than this says so. Source: common practice, none published."""


def lasted(soak: Soak, ended: datetime) -> timedelta:
    """S2: from when IN was handled to the earliest moment the evidence allows; never negative."""
    return max(ended - soak.began, timedelta(0))


def came_out(thread: Thread, soak: Soak) -> datetime | None:
    """When it came out, where that was told and the bath's temperature was not; or None.

    The question of the soak remembers it, whatever a hand-over asks in between.
    """
    said = thread.frames[0].memo.get("out")
    at = datetime.fromisoformat(said) if said else None
    return at if at and at >= soak.began else None


def is_out(clinic: Clinic, cycle: Cycle) -> bool:
    """Whether it is known to have come out of its bath, with only the temperature still asked."""
    soak = cycle.contact
    return soak is not None and any(
        each.cycle == cycle.id and came_out(each, soak) for each in clinic.threads.values()
    )


def is_complete(soak: Soak, ended: datetime, least: timedelta) -> bool:
    """S2: whether the time is up, to the microsecond; a soak is never rounded up."""
    return lasted(soak, ended) >= least


def contact_time(protocol: CycleProtocol, *readings: Decimal | None) -> timedelta:
    """S2: how long a device soaks in a bath that was so warm at IN, and perhaps at OUT.

    The coldest of the *readings* decides; without any it is as long as at the minimum.
    """
    chemistry = protocol.chemistry
    known = [each for each in readings if each is not None]
    return chemistry.contact_time_at(min(known)) if known else chemistry.contact_time


def must_measure_again(celsius: Decimal, protocol: CycleProtocol) -> bool:
    """S1: whether a bath of *celsius* at IN is measured at OUT too.

    It is near the minimum, or near the warmth that its shorter contact time hangs on.
    """
    chemistry = protocol.chemistry
    return celsius - chemistry.warmth_relied_on_c(celsius) <= chemistry.recheck_within_c


def limit_missed(celsius: Decimal, protocol: CycleProtocol) -> Decimal | None:
    """S17: the least or the greatest warmth, in C, that a bath of *celsius* misses; or None."""
    chemistry = protocol.chemistry
    most = chemistry.maximum_temperature_c
    if celsius < chemistry.minimum_temperature_c:
        return chemistry.minimum_temperature_c
    return most if most is not None and celsius > most else None


def is_over(soak: Soak, now: datetime, protocol: CycleProtocol) -> bool:
    """S12: in longer than the protocol's maximum, as far as anybody can tell."""
    return now - soak.began > protocol.maximum_soak


def is_past_the_maximum(cycle: Cycle, now: datetime) -> bool:
    """S12: whether it soaks, and has for longer than its protocol allows."""
    soak = cycle.contact
    return soak is not None and is_over(soak, now, protocol_of(cycle))


def broken_from_outside(
    cycle: Cycle, because: str, now: datetime
) -> tuple[SoakBroken, CleaningRestarted]:
    """S1, S12: what something else has ended is no soak; inspected first where left in long."""
    over = is_past_the_maximum(cycle, now)
    return (
        SoakBroken(cycle.id, cycle.device, because, NO_SOAK),
        CleaningRestarted(cycle.id, cycle.device, because, inspect_again=over),
    )


def is_straight_back(out: datetime, now: datetime) -> bool:
    """S3: whether what came *out* has been out for so short a time that it may go back in."""
    return now - out <= STRAIGHT_BACK


def clock_time(due: datetime) -> datetime:
    """When a bell rings, as people are told: the full minute at or after it, never before."""
    minute = due.replace(second=0, microsecond=0)
    return due if minute == due else minute + timedelta(minutes=1)


def overdue_bell(cycle: str, soak: Soak, stage: int, protocol: CycleProtocol) -> BellSet | None:
    """S12: the bell after the bell: a second one, a second phone, the supervisor, the maximum."""
    if stage > MAXIMUM:
        return None
    climbed = sum(CLIMB[:stage], timedelta(0))
    due = soak.due + climbed
    if stage == MAXIMUM:
        due = max(due, soak.began + protocol.maximum_soak)
    return BellSet(f"{cycle}.overdue", "overdue", due, cycle=cycle, stage=stage)


def soonest_in(
    cycle: Cycle | None, protocol: CycleProtocol, now: datetime, *, passed: bool
) -> datetime:
    """S5: when a device goes into its bath, if hands go on at a usual pace.

    The strip that a bath still lacks, where it has not *passed*, is read while the detergent soak
    goes on; then the device is rinsed and dried.
    """
    strip = timedelta(0) if passed else protocol.strip.dip_for + protocol.strip.read_after
    if cycle is None or cycle.detergent is None:
        return now + strip
    return max(now + strip, cycle.detergent.due) + RINSED_DRIED_AND_IN


def soaks_before(bath: Container, cycle: Cycle) -> int:
    """S5: how many uses a bath has had before this soak: put in too cold, it is the same use."""
    return bath.uses - (cycle.been_in == bath.tag)


def taken_for(clinic: Clinic, tag: str, cycle: str) -> str | None:
    """S21: the device of another cycle that has chosen this bath, or has a strip in it; or None.

    One device a bath: the bot must not lead a second one to where a first is expected. A bottle
    is tested for everybody, and taken for nobody.
    """
    container = clinic.containers.get(tag)
    if container and container.kind is not Kind.BATH:
        return None
    testing = {
        thread.cycle
        for thread in clinic.threads.values()
        if any(frame.flow == "strip_test" and _tests(frame, tag) for frame in thread.frames)
    }
    for other in clinic.cycles.values():
        chosen = other.bath == tag and "contact_soak" not in other.done
        if other.id != cycle and (chosen or other.id in testing):
            return other.device
    return None


def _tests(frame: Frame, tag: str) -> bool:
    return frame.memo.get("container") == tag

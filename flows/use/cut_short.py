"""What a use or a fault ends: the soak and the cleaning that it contradicts (S3, S8)."""

from datetime import timedelta

from flows.parts.clinic import Device
from flows.parts.decision import DONE, Move
from flows.parts.events import CycleAbandoned, Event, SoakBroken
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.rules.soak import lasted


def cut_short(
    situation: Situation, device: Device, because: str, moment: Moment
) -> tuple[tuple[Event, ...], tuple[Move, ...]]:
    """S3, S8: a soak that runs is broken, and the cycle ends there: it has been contradicted."""
    cycle = situation.clinic.cycles.get(device.cycle or "")
    if cycle is None:
        return (), ()
    soaked = lasted(cycle.contact, moment.now) if cycle.contact else timedelta(0)
    broke = (SoakBroken(cycle.id, device.label, because, soaked),) if cycle.contact else ()
    moves = tuple(Move(thread, DONE) for thread in threads_of(situation, device))
    return (*broke, CycleAbandoned(cycle.id, device.label, because)), moves


def threads_of(situation: Situation, device: Device) -> tuple[str, ...]:
    threads = situation.clinic.threads.values()
    return tuple(each.id for each in threads if device.cycle and each.cycle == device.cycle)

"""A lot has one expiry: the earliest that was read off it counts for all that is of it (S5)."""

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from flows.calculations.calendar import end_of_day
from flows.parts.clinic import Batch, Clinic, Fitness, Kind, bare_lot
from flows.parts.events import JugOpened, LifeShortened, StripBottleOpened
from flows.rules.container_life import EXPIRY, Limit, discard_by
from flows.rules.twins import Opened


def ends_with_its_lot(
    meant: JugOpened | StripBottleOpened, clinic: Clinic, zone: ZoneInfo
) -> tuple[LifeShortened, ...]:
    """What is of the lot of *meant*, itself too, and has a later date than its lot.

    *meant* is as it should have read. What is gone ends too: something may have been poured from
    it. What has no lot noted may be that very one while both stand; that is a rule of its own.
    """
    others = [each for each in _of_lot(meant, clinic) if each.tag != meant.tag]
    printed = [limit for each in others for limit in _printed(each, zone)]
    ends = discard_by((Limit(end_of_day(meant.expires, zone), EXPIRY), *printed))
    itself = [each for each in _opened(clinic) if each.tag == meant.tag]
    return tuple(
        LifeShortened(each.tag, ends.moment, ends.because)
        for each in (*itself, *others)
        if each.discard_by > ends.moment
    )


def _opened(clinic: Clinic) -> Iterator[Opened]:
    yield from (each for each in clinic.containers.values() if each.kind is Kind.JUG)
    yield from clinic.strips.values()


def _of_lot(meant: JugOpened | StripBottleOpened, clinic: Clinic) -> list[Opened]:
    batch = Batch(meant.product, meant.lot)
    return [
        each
        for each in _opened(clinic)
        if each.product == batch.product
        and batch.lot
        and each.lot
        and bare_lot(each.lot) == bare_lot(batch.lot)
    ]


def _printed(one: Opened, zone: ZoneInfo) -> Iterator[Limit]:
    """What was read off *one*; by a correction its date may stand for an earlier expiry."""
    if one.fitness is Fitness.DISCARDED:
        return
    if one.expires:
        yield Limit(end_of_day(one.expires, zone), EXPIRY)
    if one.because == EXPIRY:
        yield Limit(one.discard_by, EXPIRY)

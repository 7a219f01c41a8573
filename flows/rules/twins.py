"""S5: a jug or strips of a lot that still stands here may be those themselves, opened again."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime

from flows.parts.clinic import (
    AT_HAND,
    Batch,
    Clinic,
    Container,
    Fitness,
    Kind,
    StripBottle,
    bare_lot,
)
from flows.parts.events import ContainerHeld, JugActivated, LifeShortened
from flows.rules.container_life import ACTIVATED_LIFE, Decided
from flows.rules.recall import set_aside
from flows.rules.strip import KIN_FAILED, fell_by_a_strip, same_liquid

Opened = Container | StripBottle

TWIN_FAILED = "twin_failed"
"""Why strips lack their control again: what may be the same bottle has failed it."""


def is_twin(one: Opened, batch: Batch) -> bool:
    """Whether it may be of that lot, and has not been noted as thrown away.

    Where the lot of either was not noted, nothing tells the one from the other.
    """
    tells_no_lot = not one.lot or not batch.lot
    return (
        one.product == batch.product
        and (tells_no_lot or bare_lot(one.lot) == bare_lot(batch.lot))
        and one.fitness is not Fitness.DISCARDED
    )


def twins_of(clinic: Clinic, one: Opened) -> list[Opened]:
    """What *one* may be, a jug or strips, under another tag."""
    here: Iterable[Opened] = clinic.strips.values()
    if isinstance(one, Container):
        here = (each for each in clinic.containers.values() if each.kind is Kind.JUG)
    batch = Batch(one.product, one.lot)
    return [each for each in here if each.tag != one.tag and is_twin(each, batch)]


def held_with(clinic: Clinic, fell: Collection[str]) -> tuple[ContainerHeld, ...]:
    """S4: what may be a jug that *fell* by a strip, and all poured from it, waits for its own."""
    known = (clinic.containers.get(tag) for tag in fell)
    jugs = [each for each in known if each and each.kind is Kind.JUG]
    may_be = dict.fromkeys(twin.tag for jug in jugs for twin in twins_of(clinic, jug))
    liquid = {each.tag: each for tag in may_be for each in same_liquid(clinic, tag)}
    return tuple(
        ContainerHeld(each.tag, KIN_FAILED)
        for each in liquid.values()
        if each.fitness is Fitness.GOOD and each.tag not in fell
    )


def in_doubt_with(clinic: Clinic, strips: StripBottle) -> tuple[ContainerHeld, ...]:
    """S4: of what may be the strips that have failed their control, none judges until tested."""
    twins = twins_of(clinic, strips)
    return tuple(
        ContainerHeld(each.tag, TWIN_FAILED)
        for each in twins
        if isinstance(each, StripBottle) and each.checked and each.fitness is Fitness.GOOD
    )


def ends_before(life: Decided, others: Sequence[Opened]) -> Opened | None:
    """S5: the first of its twins to end, where that is before *life*: its date counts."""
    first = min(others, key=lambda each: each.discard_by, default=None)
    return first if first and first.discard_by < life.moment else None


def end_after(life: Decided, batch: Batch, others: Sequence[Opened]) -> tuple[Opened, ...]:
    """S5: those of its twins that are of the same lot for certain, and were to end after *life*.

    A lot has one expiry: of two that were read off it the earlier counts for all that is at hand.
    Where no lot is noted two dates tell rather that they are two. Common practice, no source.
    """
    return tuple(
        each
        for each in others
        if batch.lot and each.lot and life.moment < each.discard_by and each.fitness in AT_HAND
    )


def ends_no_later(
    clinic: Clinic, one: Opened, told: JugActivated | LifeShortened
) -> tuple[LifeShortened, ...]:
    """S5: what may be *one*, and had been told of with a later date than is *told* of it now.

    Of two days of activation of what may be one jug the earlier counts; where nobody has told any
    yet, it is asked for. What another limit ends first was judged when it was opened.
    """
    activated_life = told.because == ACTIVATED_LIFE
    if one.fitness is Fitness.DISCARDED or (isinstance(told, JugActivated) and not activated_life):
        return ()
    return tuple(
        LifeShortened(each.tag, told.discard_by, told.because)
        for each in twins_of(clinic, one)
        if each.fitness in AT_HAND
        and told.discard_by < each.discard_by
        and (not activated_life or getattr(each, "activated_at", None))
    )


def out_of_use(others: Sequence[Opened], clinic: Clinic, now: datetime) -> Opened | None:
    """S5: a twin that is over, or condemned: what may be that one is not taken into use.

    What a strip condemned, or holds, is no such: a strip of its own shows what the other is. Nor
    is one that is set aside for want of a lot: the other's shows that it is not the recalled one.
    """
    return next((each for each in others if _is_out(each, clinic, now)), None)


def _is_out(one: Opened, clinic: Clinic, now: datetime) -> bool:
    if now >= one.discard_by:
        return True
    fell = isinstance(one, Container) and fell_by_a_strip(one)
    lacks_its_lot = not one.lot and set_aside(clinic, one)
    return one.fitness is Fitness.CONDEMNED and not fell and not lacks_its_lot

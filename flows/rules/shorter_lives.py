"""S5: what stands here is good no longer than a figure allows that has become shorter."""

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from flows.parts.clinic import AT_HAND, Clinic, Container, Kind, StripBottle
from flows.parts.events import LifeShortened
from flows.protocols.model import Chemistry, Product, StripProduct
from flows.rules.container_life import (
    Decided,
    life_of_bath,
    life_of_pour,
    life_of_strips,
    life_until_activated,
    life_when_activated,
)


def shorter_lives(
    clinic: Clinic, product: Product, zone: ZoneInfo, now: datetime
) -> Iterator[LifeShortened]:
    """What is of *product* and ends sooner by its figures than by its label; not before *now*.

    Whatever device is soaked in it, or none so far: it may be poured from all the same. What was
    done by the longer figure stands: it held then. What ends with its source is left to that.
    """
    shorter = {each.tag: each for each in _shorter(clinic, product, zone, now)}
    for tag, each in shorter.items():
        container = clinic.containers.get(tag)
        source = shorter.get(container.source or "") if container else None
        if source is None or each.discard_by < source.discard_by:
            yield each


def _shorter(
    clinic: Clinic, product: Product, zone: ZoneInfo, now: datetime
) -> Iterator[LifeShortened]:
    things: list[Container | StripBottle] = [*clinic.containers.values(), *clinic.strips.values()]
    for each in things:
        if each.fitness not in AT_HAND or each.product != product.name:
            continue
        life = _life(each, product, zone)
        ends = max(life.moment, now) if life else each.discard_by
        if life and ends < each.discard_by:
            yield LifeShortened(each.tag, ends, life.because, chosen=True)


def _life(one: Container | StripBottle, product: Product, zone: ZoneInfo) -> Decided | None:
    """By its figures as they are now; None for what is mixed here, whose life is no figure."""
    if isinstance(one, StripBottle) and isinstance(product, StripProduct):
        return _of_strips(one, product, zone)
    if isinstance(one, Container) and isinstance(product, Chemistry):
        return _of_solution(one, product, zone)
    return None


def _of_strips(one: StripBottle, strip: StripProduct, zone: ZoneInfo) -> Decided:
    ends = one.expires or one.discard_by.astimezone(zone).date()
    return life_of_strips(ends, one.opened, strip, zone)


def _of_solution(one: Container, chemistry: Chemistry, zone: ZoneInfo) -> Decided:
    """Where a jug's printed date was never noted, the day it is good to stands for that."""
    on_its_label = Decided(one.discard_by, one.because)
    if one.kind is Kind.BATH:
        return life_of_bath(on_its_label, one.since, chemistry, zone)
    if one.kind is Kind.BOTTLE:
        return life_of_pour(on_its_label, one.since, chemistry, zone)
    printed = one.expires or one.discard_by.astimezone(zone).date()
    life = life_until_activated(printed, one.since, chemistry, zone)
    if one.activated_at is None:
        return life
    return life_when_activated(life, one.activated_at, chemistry, zone)

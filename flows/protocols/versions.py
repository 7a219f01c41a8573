"""Two versions of one protocol: what a cycle is held to that began with one of them (S1)."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from functools import lru_cache
from typing import TypeVar

from flows.protocols.compare import FACTS, LAXER, Laxer, is_laxer, replaced
from flows.protocols.model import Chemistry, CycleProtocol, Product

P = TypeVar("P", bound=Product)


def stricter_of(one: CycleProtocol, other: CycleProtocol) -> CycleProtocol:
    """For each figure the stricter of two versions: what a release must satisfy.

    Where neither way is stricter the first one's stands; `disagreements` names those. Raises
    ValueError if they are not versions of the same products.
    """
    if _names(one) != _names(other):
        raise ValueError(f"{_names(one)} and {_names(other)} are not versions of one protocol.")
    return replace(
        one,
        chemistry=_stricter_chemistry(one.chemistry, other.chemistry),
        strip=_stricter_product(one.strip, other.strip),
        device_model=_stricter_product(one.device_model, other.device_model),
        detergent=_stricter_product(one.detergent, other.detergent),
        covers=tuple(map(_stricter_product, one.covers, other.covers)),
        deviations=tuple(dict.fromkeys(one.deviations + other.deviations)),
    )


@lru_cache(maxsize=64)
def held_to(own: CycleProtocol, today: CycleProtocol) -> CycleProtocol:
    """S1: what a cycle is held to: the stricter of what it began with and today's.

    Where another product has been chosen since, there is no version of today: its own stands.
    """
    return stricter_of(own, today) if _names(own) == _names(today) else own


def changed_since(own: CycleProtocol, today: CycleProtocol) -> tuple[str, ...]:
    """S1: in what a cycle cannot satisfy today's version as well, as 'product.key'."""
    if _names(own) == _names(today):
        return disagreements(own, today)
    is_allowed = own.chemistry.name in today.device_model.chemistries
    return () if is_allowed else (f"{today.device_model.name}.chemistries",)


def disagreements(one: CycleProtocol, other: CycleProtocol) -> tuple[str, ...]:
    """The figures and facts, as 'product.key', in which no cycle can satisfy both versions."""
    either_way = FACTS | {key for key, laxer in LAXER.items() if laxer is Laxer.EITHER}
    return tuple(
        f"{ours.name}.{key}"
        for ours, theirs in zip(one.products(), other.products(), strict=True)
        for key in ours.table
        if key in either_way and getattr(ours, key) != getattr(theirs, key)
    )


def _names(protocol: CycleProtocol) -> list[str]:
    return [product.name for product in protocol.products()]


def _stricter_chemistry(one: Chemistry, other: Chemistry) -> Chemistry:
    """In a bath of any warmth the longer of both contact times."""
    stricter = _stricter_product(one, other)
    least = stricter.minimum_temperature_c
    longest = max(one.contact_time_at(least), other.contact_time_at(least))
    rows: list[tuple[Decimal, timedelta]] = [(least, longest)]
    both = (*(one.contact_time_warmer or ()), *(other.contact_time_warmer or ()))
    for warmth in sorted({warmth for warmth, _ in both if warmth > least}):
        span = max(one.contact_time_at(warmth), other.contact_time_at(warmth))
        if span < rows[-1][1]:
            rows.append((warmth, span))
    return replace(
        stricter,
        contact_time=longest,
        contact_time_warmer=tuple(rows[1:]) or None,
        neutraliser=stricter.neutraliser or other.neutraliser,
    )


def _stricter_product(one: P, other: P) -> P:
    values = {
        key: getattr(other, key)
        for key in one.table
        if LAXER.get(key, Laxer.EITHER) is not Laxer.EITHER
        and is_laxer(key, getattr(one, key), getattr(other, key))
    }
    return replaced(one, values, {key: other.source_of(key) for key in values})

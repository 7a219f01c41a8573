"""One part of a clinic changed, the rest as it was; and the door every fold is registered at."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import singledispatch
from types import MappingProxyType
from typing import Any, TypeVar

from flows.parts.clinic import Bell, Clinic
from flows.parts.events import Event, Stamped

V = TypeVar("V")

CONTACT_BELLS = frozenset({"contact", "overdue"})
SOAK_BELLS = frozenset({"detergent", "contact", "overdue"})


@singledispatch
def apply(event: Event, clinic: Clinic, stamped: Stamped) -> Clinic:  # noqa: ARG001
    """Events that are only for the record: nothing that is changes by them."""
    return clinic


def put(mapping: Mapping[str, V], key: str, value: V) -> Mapping[str, V]:
    return MappingProxyType({**mapping, key: value})


def drop(mapping: Mapping[str, V], keys: Iterable[str]) -> Mapping[str, V]:
    gone = set(keys)
    return MappingProxyType({key: value for key, value in mapping.items() if key not in gone})


def change(clinic: Clinic, room: str, key: str, **changes: Any) -> Clinic:
    """*clinic* with one thing of *room* changed; as it was where there is no such thing."""
    things = getattr(clinic, room)
    if key not in things:
        return clinic
    changed: dict[str, Any] = {room: put(things, key, replace(things[key], **changes))}
    return replace(clinic, **changed)


def add_bell(clinic: Clinic, bell: Bell) -> Clinic:
    return replace(clinic, bells=put(clinic.bells, bell.id, bell))


def hush(clinic: Clinic, cycle: str, kinds: frozenset[str]) -> Clinic:
    """Take away the bells of those *kinds* that a cycle still has."""
    bells = clinic.bells.values()
    gone = [bell.id for bell in bells if bell.cycle == cycle and bell.kind in kinds]
    return replace(clinic, bells=drop(clinic.bells, gone))


REMEMBERED = 20
"""Of the forty numbers there are, as many stay dead; the rest is left to draw from."""


def spend(clinic: Clinic, cycle: str, number: int | None) -> Clinic:
    """S3: a number that has been asked for is not drawn again for this cycle."""
    known = clinic.cycles.get(cycle)
    if known is None or number is None:
        return clinic
    numbers = (*(each for each in known.numbers if each != number), number)
    return change(clinic, "cycles", cycle, numbers=numbers[-REMEMBERED:])


def free_bath(clinic: Clinic, cycle: str) -> Clinic:
    for container in clinic.containers.values():
        if container.in_use_by == cycle:
            clinic = change(clinic, "containers", container.tag, in_use_by=None)
    return clinic


def spend_pass(clinic: Clinic, cycle: str) -> Clinic:
    """S4: a strip is dipped before each use: cleaned anew, the cycle may not soak on it again."""
    for container in clinic.containers.values():
        if container.passed and container.passed.used_by == cycle:
            spent = replace(container.passed, used_by=f"{cycle} before")
            clinic = change(clinic, "containers", container.tag, passed=spent)
    return clinic

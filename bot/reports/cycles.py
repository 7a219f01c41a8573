"""Which cycles there are, and which one somebody means."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from bot.record.written import Written, of_kinds
from bot.reports.timeline import CycleUnknown
from flows.calculations.check_code import code_problem, label_of
from flows.parts.events import (
    CleanedForRepair,
    CycleAbandoned,
    CycleBegan,
    CycleVoided,
    Event,
    Released,
)

_ENDS: dict[type[Event], str] = {
    Released: "released",
    CleanedForRepair: "for repair",
    CycleAbandoned: "abandoned",
    CycleVoided: "voided",
}


@dataclass(frozen=True, slots=True)
class Listed:
    """One cycle in a line. *code* and *until* are those it was released with, if ever."""

    cycle: str
    device: str
    began: datetime
    person: str | None
    outcome: str = "open"
    code: str = ""
    until: datetime | None = None


def cycles(connection: Connection, site: str) -> list[Listed]:
    """Every cycle of a site, in the order in which they began."""
    ends = tuple(kind.__name__ for kind in _ENDS)
    return list(_listed(of_kinds(connection, site, (CycleBegan.__name__, *ends))))


def find_cycle(connection: Connection, site: str, named: str) -> str:
    """The cycle of that id, or its beginning, or release code; of a device the latest.

    Raises CycleUnknown, also where a beginning fits more than one.
    """
    known = cycles(connection, site)
    for found in (_by_code(known, named), _by_device(known, named)):
        if found:
            return found
    fits = [each.cycle for each in known if each.cycle.startswith(named.lower())]
    if named and (len(fits) == 1 or named in fits):
        return named if named in fits else fits[0]
    raise CycleUnknown(site, named)


def _by_code(known: list[Listed], named: str) -> str | None:
    """A code as typed: case, spaces and the hyphen's place are forgiven."""
    if code_problem(named):
        return None
    bare = _bare(named)
    return next((each.cycle for each in reversed(known) if _bare(each.code) == bare), None)


def _by_device(known: list[Listed], named: str) -> str | None:
    return next((each.cycle for each in reversed(known) if each.device == named.upper()), None)


def _bare(code: str) -> str:
    label = label_of(code)
    return label + "".join(filter(str.isalnum, code.upper()))[len(label) :] if label else ""


def _listed(entries: Iterable[Written]) -> Iterable[Listed]:
    found: dict[str, Listed] = {}
    for written in entries:
        event: Any = written.stamped.event
        if isinstance(event, CycleBegan):
            stamped = written.stamped
            found[event.cycle] = Listed(event.cycle, event.device, stamped.at, stamped.person)
        elif event.cycle in found:
            found[event.cycle] = _ended(found[event.cycle], event)
    return found.values()


def _ended(listed: Listed, event: Any) -> Listed:
    outcome = _ENDS[type(event)]
    if isinstance(event, Released):
        return replace(listed, outcome=outcome, code=event.code, until=event.until)
    return replace(listed, outcome=outcome)

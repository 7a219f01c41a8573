"""Look-back: the cases that are open, and what a passed strip has cleared of doubt (S4, S18)."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Case:
    """A look-back: the list of who may have been touched is a query over the record (S18)."""

    id: str
    cause: str
    subject: str
    since: datetime | None
    at: datetime
    cycles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Cleared:
    """Cycles that strips of one lot have cleared: in doubt again if those prove worthless (S4)."""

    product: str
    lot: str
    cycles: tuple[str, ...]

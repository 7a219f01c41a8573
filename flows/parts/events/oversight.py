"""Alerts, look-back, corrections, seals."""

from collections.abc import Mapping
from dataclasses import field
from datetime import datetime

from flows.parts.clinic import empty
from flows.parts.events.event import Event, happened


@happened
class AlertRaised(Event):
    alert: str
    cause: str
    subject: str


@happened
class CaseOpened(Event):
    """A look-back begins; *since* is the last known-good point, None where there was none."""

    case: str
    cause: str
    subject: str
    since: datetime | None
    cycles: tuple[str, ...]


@happened
class Recalled(Event):
    """A lot, a lot of strips or a figure is recalled: nothing may rest on it any more (S18).

    *what* is 'lot', 'strip_lot' or 'figure'; *mark* the lot as printed, or the figure's key;
    *value* the figure that was wrong. *since* is when this site's record first shows it, None
    where it never does. *also* names containers and cycles that a correction brings under it.
    """

    recall: str
    what: str
    product: str
    mark: str
    value: str
    reason_digest: str
    since: datetime | None
    also: tuple[str, ...] = ()
    instead: str = ""
    """The figure that stands in its place: nobody chooses a laxer one. Empty in older entries."""


@happened
class Corrected(Event):
    """A correction names the entry it corrects; the entry itself stays (S15)."""

    entry: int
    field: str
    value: str
    reason_digest: str


@happened
class Sealed(Event):
    """The heads of all site chains, in the programme's own chain."""

    heads: Mapping[str, str] = field(default_factory=empty)

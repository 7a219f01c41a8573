"""Jugs, bottles, baths, and the strips that judge them."""

from datetime import date, datetime, timedelta
from decimal import Decimal

from flows.parts.clinic import Kind
from flows.parts.events.event import Event, happened


@happened
class JugOpened(Event):
    tag: str
    product: str
    lot: str
    expires: date
    opened: datetime
    discard_by: datetime
    because: str
    volume_ml: Decimal | None = None
    """What it holds when new, as the site had said by then; None where it had not."""


@happened
class JugActivated(Event):
    """Its activator went in, or its parts were mixed: its life in use runs from then."""

    tag: str
    activated: datetime
    discard_by: datetime
    because: str


@happened
class LifeShortened(Event):
    """Its date turned out to be earlier than was written; *because* is the limit that decides it.

    Of a jug, a bottle, a bath or strips. A date only ever moves earlier (S5).
    """

    tag: str
    discard_by: datetime
    because: str
    chosen: bool = False
    """Whether a figure has been made shorter, here or in the program; else the date was wrong."""


@happened
class Poured(Event):
    """Some of *source* was poured; *topped_up* where the target was not empty, washed and dry."""

    tag: str
    kind: Kind
    source: str
    product: str
    lot: str
    poured: datetime
    discard_by: datetime
    because: str
    topped_up: bool
    volume_ml: Decimal | None = None
    """What fills it to its line; None where nothing says so."""


@happened
class Mixed(Event):
    """*volume_ml* of a solution was made up here, from what bears that *lot*."""

    tag: str
    product: str
    strength: str
    volume_ml: Decimal
    lot: str
    mixed: datetime
    discard_by: datetime
    because: str
    source: str = ""
    """The tag of what it was mixed from; empty where nobody has said so."""


@happened
class EvidenceStated(Event):
    """In place of a strip: what was *stated* of a bath that was mixed for this very soak (S4).

    *stated* are slugs of the protocol's list; *strength* is what its source's label says.
    """

    cycle: str
    bath: str
    stated: tuple[str, ...]
    strength: str
    good_until: datetime


@happened
class StripBottleOpened(Event):
    """*because* names the limit that decided *discard_by*.

    *qc_good* and *qc_diluted*: how many strips were to pass and to fail where it was checked.
    """

    tag: str
    product: str
    lot: str
    expires: date
    opened: datetime
    discard_by: datetime
    checked: bool
    because: str = ""
    qc_good: int = 0
    qc_diluted: int = 0


@happened
class StripsChecked(Event):
    """The quality control of a bottle that was opened without.

    *qc_good* strips were to pass in good solution, *qc_diluted* to fail in half-strength.
    """

    tag: str
    lot: str
    passed: bool
    qc_good: int
    qc_diluted: int


@happened
class StripDipped(Event):
    test: str
    container: str
    strips: str
    cycle: str | None
    read_from: datetime
    read_until: datetime
    lot: str = ""
    """Of the strips; so it is in `StripRead`."""
    sent_at: datetime | None = None
    """The earliest moment that the evidence allows for DIP; None in entries of before."""


@happened
class StripRead(Event):
    """What the strip showed: 'pass', 'fail' or 'no_result', and what made it no result.

    *age* is the least that the evidence allows: from when the dip was handled to when the reading
    was sent. *age_proved* is False where a carrier may have stretched it out of its window (S4).
    """

    test: str
    container: str
    strips: str
    cycle: str | None
    outcome: str
    seen: str
    because: str
    age: timedelta
    age_proved: bool
    day: date
    good_until: datetime | None
    lot: str = ""
    age_most: timedelta | None = None
    """From when the dip was sent to when the reading was handled; None in entries of before."""


@happened
class ContainerHeld(Event):
    tag: str
    because: str


@happened
class ContainerCondemned(Event):
    tag: str
    because: str


@happened
class ContainerDiscarded(Event):
    """Thrown away, sent back: gone. *because* says of what was recalled by which recall it was."""

    tag: str
    because: str = ""

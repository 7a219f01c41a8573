"""One reprocessing of one device, act by act."""

from datetime import datetime, timedelta
from decimal import Decimal

from flows.parts.clinic import Level
from flows.parts.events.event import Event, happened


@happened
class CycleBegan(Event):
    cycle: str
    device: str
    level: Level
    protocol: str
    fingerprint: str
    for_repair: bool


@happened
class CautionsAcknowledged(Event):
    person: str


@happened
class StepDone(Event):
    """One act of the cycle, stated by the worker: *what* is the step's name.

    *stated_with* names the later step whose answer covered it, for a person on brief texts;
    *container* the jug or working bottle that it was done from, where it was done from one.
    """

    cycle: str
    device: str
    what: str
    stated_with: str = ""
    container: str = ""


@happened
class AnsweredTooSoon(Event):
    thread: str
    step: str
    after: timedelta


@happened
class DetergentSoakBegan(Event):
    cycle: str
    device: str
    due: datetime
    number: int


@happened
class DetergentSoakEnded(Event):
    cycle: str
    device: str
    lasted: timedelta
    number: int


@happened
class BathChosen(Event):
    cycle: str
    bath: str


@happened
class Immersed(Event):
    """The contact time begins: when this text was handled, the latest moment evidence allows."""

    cycle: str
    device: str
    bath: str
    bath_discard_by: datetime
    strip_test: str
    strip_good_until: datetime
    celsius: Decimal
    due: datetime
    number: int
    strip_in: str = ""
    """What that strip was dipped in: the bath, or the bottle that it was poured from. Empty where
    no strip exists, and in entries of before this was kept."""


@happened
class PutInBath(Event):
    """The device was in this liquid, though that was no soak; *because* says why it was none.

    One of: too_cold, no_detergent, not_back, in_use, unknown, other_product, no_bath,
    not_for_use, taken, too_short, no_strip, elsewhere, too_early, in_again. *cycle* is empty
    where nobody was cleaning it.
    """

    cycle: str
    device: str
    bath: str
    because: str


@happened
class BathTooCold(Event):
    """A reading under the minimum, at IN or at OUT; or over the maximum where there is one.

    Or at OUT under the warmth that the soak's shorter contact time hung on: *limit* says which.
    """

    cycle: str
    device: str
    celsius: Decimal
    limit: Decimal


@happened
class SoakBroken(Event):
    """The contact time is zero again (S3); *because* is early_out, second_in, fault, moved, ..."""

    cycle: str
    device: str
    because: str
    lasted: timedelta


@happened
class TakenOut(Event):
    """The contact time is complete: ended at the earliest moment the evidence allows (S2)."""

    cycle: str
    device: str
    bath: str
    bath_discard_by: datetime
    ended: datetime
    lasted: timedelta
    number: int
    celsius: Decimal | None
    over_maximum: bool


@happened
class CleaningRestarted(Event):
    """From the start; *inspect_again* where it was left in past the maximum (S12)."""

    cycle: str
    device: str
    because: str
    inspect_again: bool = False


@happened
class Released(Event):
    cycle: str
    device: str
    code: str
    until: datetime
    cover: str


@happened
class CleanedForRepair(Event):
    cycle: str
    device: str


@happened
class CycleAbandoned(Event):
    cycle: str
    device: str
    because: str


@happened
class CycleVoided(Event):
    """The cycle counts for nothing: what it rested on has failed. Done or still running."""

    cycle: str
    device: str
    because: str


@happened
class CycleTaken(Event):
    """Somebody else carries on; *stayed_in* is the answer to whether the probe stayed in."""

    cycle: str
    device: str
    person: str
    phone: str

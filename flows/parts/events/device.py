"""What happens to a device between its cycles."""

from datetime import date

from flows.parts.events.event import Event, happened


@happened
class DeviceUsed(Event):
    """A use, as it was said. *ready* is whether a release stood at that moment (S7)."""

    device: str
    patient: str
    day: date
    ready: bool
    cycle: str | None
    late: bool = False


@happened
class UseWithoutCode(Event):
    """A use was said with something that is not a code; the words themselves are not kept here."""

    use: str
    device: str
    day: date
    ready: bool
    cycle: str | None


@happened
class UseCodeGiven(Event):
    use: str
    device: str
    patient: str
    day: date


@happened
class NoUseSaid(Event):
    """Asked for the patients since the last release, the worker says there were none."""

    device: str
    cycle: str | None


@happened
class FaultReported(Event):
    device: str
    what: str


@happened
class Quarantined(Event):
    device: str
    because: str


@happened
class QuarantineLifted(Event):
    device: str
    with_person: str | None = None


@happened
class ReleaseWithdrawn(Event):
    device: str
    cycle: str
    because: str


@happened
class SpillReported(Event):
    what: str

"""The gateway, the clock, and texts that went wrong."""

from datetime import timedelta

from flows.parts.events.event import Event, happened


@happened
class TextUndelivered(Event):
    phone: str
    outbox: str
    because: str


@happened
class PhoneOptedOut(Event):
    phone: str


@happened
class PhoneReachable(Event):
    phone: str


@happened
class ClockStepped(Event):
    """The machine's clock jumped by *step*; no soak becomes shorter, and no date later by it."""

    step: timedelta


@happened
class TextFailed(Event):
    """An incoming text met an unexpected error; it is kept and a person is told."""

    inbound: str
    error: str


@happened
class FreeText(Event):
    """Free text, by its salted hash alone; the words are in an erasable table (S15)."""

    about: str
    digest: str

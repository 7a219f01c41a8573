"""Questions, answers, bells, and who holds the phone."""

from datetime import datetime, timedelta

from flows.parts.clinic import Frame
from flows.parts.events.event import Event, happened


@happened
class QuestionAsked(Event):
    """The open question of a thread: every answer is to this number, and to no other (S10)."""

    thread: str
    phone: str
    person: str
    question: int
    frames: tuple[Frame, ...]
    slug: str
    cycle: str | None = None
    nudge_at: datetime | None = None
    answer: str = ""
    """The digest of the answer that led here."""


@happened
class ThreadEnded(Event):
    thread: str
    because: str
    answer: str = ""


@happened
class SaidBefore(Event):
    """An answer that has just been taken elsewhere came again: it is asked whether it is meant."""

    thread: str
    step: str


@happened
class SaidInPart(Event):
    """A fact, a command or an answer without the name it is about, which was asked for.

    *words* are our own and numbers, never anybody's: none where it was completed, or cannot be.
    """

    phone: str
    person: str
    words: tuple[str, ...]
    sent_at: datetime


@happened
class NotUnderstood(Event):
    thread: str
    hint: str


@happened
class Nudged(Event):
    thread: str
    question: int
    stage: int
    again_at: datetime | None


@happened
class HolderSignedIn(Event):
    """*sent_at* is when number and PIN were sent, as the carrier dates it."""

    phone: str
    person: str
    sent_at: datetime | None = None


@happened
class HolderSignedOut(Event):
    phone: str


@happened
class WrongPin(Event):
    phone: str
    locked_until: datetime | None


@happened
class UnverifiedFact(Event):
    """Said from a phone that is locked or that nobody has signed in on; kept, not acted on."""

    phone: str
    about: str
    digest: str


@happened
class BellSet(Event):
    bell: str
    kind: str
    due: datetime
    thread: str | None = None
    question: int | None = None
    cycle: str | None = None
    stage: int = 0


@happened
class BellStopped(Event):
    bell: str


@happened
class BellRang(Event):
    """*late* is how long after its time (S11)."""

    bell: str
    kind: str
    late: timedelta
    cycle: str | None = None

"""What can come in: a text, a bell or a fact; and what stands around it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from flows.parts.events import Event
from flows.parts.situation import History, Past, Vocabulary, no_past
from flows.protocols.model import CycleProtocol
from flows.replies.typed import Typed


@dataclass(frozen=True, slots=True)
class PinCheck:
    """Number and PIN as compared outside: whose they are, or None where they are nobody's."""

    person: str | None


@dataclass(frozen=True, slots=True)
class TextIn:
    """A text from an enrolled phone.

    *sent_at* is the earliest moment the evidence allows: the smallest of the gateway's date, the
    arrival and now (S2).
    """

    phone: str
    typed: Typed
    sent_at: datetime
    pin: PinCheck | None = None
    inbound: str = ""


@dataclass(frozen=True, slots=True)
class BellIn:
    """A bell that is due, and how late it is looked at."""

    bell: str
    late: timedelta


@dataclass(frozen=True, slots=True)
class FactIn:
    """Something that happened elsewhere: a delivery report, a register, the clock."""

    events: tuple[Event, ...]


Incoming = TextIn | BellIn | FactIn


@dataclass(frozen=True, slots=True)
class Around:
    """What a decision needs and the clinic does not hold."""

    names: Mapping[str, str]
    vocabularies: Mapping[str, Vocabulary]
    """The words of each language; a language that is missing is read as English."""
    today: Callable[[str], CycleProtocol]
    history: History
    past: Past = no_past

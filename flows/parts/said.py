"""What a phone has said that is remembered for a while: answers taken, and what was not whole."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Said:
    """An answer that was taken, by its digest: the same again soon may be its double (S10)."""

    digest: str
    at: datetime


@dataclass(frozen=True, slots=True)
class InPart:
    """What *person* said without the name it is about, in our own words; asked for at *at*."""

    person: str
    words: tuple[str, ...]
    sent_at: datetime
    at: datetime

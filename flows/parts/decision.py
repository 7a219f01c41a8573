"""What a step hands back: events, texts to say, and where the conversation goes next."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from enum import Enum, auto

from flows.parts.clinic import Frame, empty
from flows.parts.events import Event
from flows.parts.text import Text

AN_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Saying:
    """A text on its way to a phone; `to` is None for the phone that has just spoken.

    A bell is a saying that must arrive: when its phone cannot be reached another is rung, and
    it alone is sent again when nobody knows whether it went out. `thread` and `question` say
    what it is about: once that question is answered, it is overtaken and not sent (S11). `lacks`:
    it asks for a name or a number without which the text it answers is not whole.
    """

    text: Text
    to: str | None = None
    thread: str | None = None
    question: int | None = None
    bell: str | None = None
    good_for: timedelta = AN_HOUR
    lacks: bool = False


class Turn(Enum):
    STAY = auto()
    """The open question stays open and is not put again."""
    AGAIN = auto()
    """The open question is put again, shorter."""
    GO = auto()
    """Another step of the same flow asks next."""
    CALL = auto()
    """Another flow asks first; when it is done it comes back here."""
    BACK = auto()
    """This flow is done: whoever called it goes on, at another step if one is named."""
    RESTART = auto()
    """Whatever was in between is dropped: the first flow of this thread goes on at a step."""
    DONE = auto()
    """The conversation of this thread is over."""


@dataclass(frozen=True, slots=True)
class Next:
    turn: Turn
    step: str = ""
    flow: str = ""
    memo: Mapping[str, str] = field(default_factory=empty)
    back_to: str = ""
    number: int | None = None


STAY = Next(Turn.STAY)
AGAIN = Next(Turn.AGAIN)
BACK = Next(Turn.BACK)
DONE = Next(Turn.DONE)


def go(step: str, *, number: int | None = None, **memo: str) -> Next:
    """Go to *step* of this flow; *memo* is added to what it remembers; *number* must be borne."""
    return Next(Turn.GO, step, memo=memo, number=number)


def restart(step: str, *, number: int | None = None, **memo: str) -> Next:
    """Drop what was in between and go to *step* of the first flow of the thread."""
    return Next(Turn.RESTART, step, memo=memo, number=number)


def back_at(step: str) -> Next:
    """Back to whoever called this flow, at *step*."""
    return Next(Turn.BACK, step)


def call(flow: str, step: str, /, *, back_to: str, **memo: str) -> Next:
    """Let *flow* ask first, from *step*, and then go on at *back_to* of this one."""
    return Next(Turn.CALL, step, flow, memo, back_to)


@dataclass(frozen=True, slots=True)
class KeptText:
    """Words that are not for the record: kept apart, erasable; the record holds the digest."""

    digest: str
    salt: str
    words: str


@dataclass(frozen=True, slots=True)
class Opening:
    """A new conversation on the phone that has spoken; its first question is asked at once."""

    frames: tuple[Frame, ...]
    cycle: str | None = None


@dataclass(frozen=True, slots=True)
class Move:
    """Another conversation that goes somewhere because of this one."""

    thread: str
    then: Next


@dataclass(frozen=True, slots=True)
class Decision:
    events: tuple[Event, ...] = ()
    says: tuple[Saying, ...] = ()
    then: Next = STAY
    opens: Opening | None = None
    moves: tuple[Move, ...] = ()
    kept: tuple[KeptText, ...] = ()


def told(*texts: Text) -> Decision:
    """What is answered and changes nothing."""
    return Decision(says=tuple(map(Saying, texts)))


def lacking(text: Text) -> Decision:
    """What asks for the name or the number that a command came without."""
    return Decision(says=(Saying(text, lacks=True),))


def joined(decisions: Iterable[Decision]) -> Decision:
    """What is told of several things in one text; what is asked of each is asked one by one."""
    each = tuple(decisions)
    frames = tuple(frame for one in reversed(each) if one.opens for frame in one.opens.frames)
    return Decision(
        events=tuple(event for one in each for event in one.events),
        says=tuple(saying for one in each for saying in one.says),
        opens=Opening(frames) if frames else None,
        moves=tuple(move for one in each for move in one.moves),
        kept=tuple(kept for one in each for kept in one.kept),
    )


@dataclass(frozen=True, slots=True)
class Outcome:
    """All that one incoming text, bell or fact leads to."""

    events: tuple[Event, ...] = ()
    says: tuple[Saying, ...] = ()
    kept: tuple[KeptText, ...] = ()

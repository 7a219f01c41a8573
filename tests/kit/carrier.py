"""A carrier that delays, reorders, doubles and loses texts, both ways, and dates some of them."""

from dataclasses import dataclass, field, fields
from datetime import datetime, timedelta
from typing import Any

from hypothesis import strategies as st

LONGEST_S = 600
"""Ten minutes each way. Source: common practice, none published."""

SKEW_S = 1
"""How far the gateway's clock may be from ours."""


def unusual(thing: Any) -> str:
    """A dataclass by what differs from its defaults: long examples can be read then."""
    odd = [
        f"{each.name}={getattr(thing, each.name)!r}"
        for each in fields(thing)
        if getattr(thing, each.name) != each.default
    ]
    return f"{type(thing).__name__}({', '.join(odd)})"


@dataclass(frozen=True, slots=True)
class Copy:
    """The same text once more: under the same message id, or as if it were another text."""

    after_s: int
    same_id: bool


@dataclass(frozen=True, slots=True)
class Trip:
    """How one text travels: to the gateway, and from there on; *dated* if the gateway says when.

    A delay before the gateway cannot be seen in its date, one behind it can.
    """

    before_s: int = 1
    behind_s: int = 1
    dated: bool = True
    skew_s: int = 0
    lost: bool = False
    copies: tuple[Copy, ...] = ()

    def __repr__(self) -> str:
        return unusual(self)


PROMPT = Trip()


@dataclass(frozen=True, slots=True)
class Flight:
    """A text on its way, to the bot or to a phone; *tells* are the soils that it owns up to."""

    arrives: datetime
    order: int
    phone: str
    body: str
    message: str = ""
    """Its id; empty for a text of the bot."""
    gateway: datetime | None = None
    slug: str = ""
    expires: datetime | None = None
    tells: frozenset[int] = frozenset()


@dataclass(slots=True)
class Carrier:
    """All texts that are on their way."""

    flights: list[Flight] = field(default_factory=list)
    count: int = 0

    def to_bot(
        self, phone: str, body: str, now: datetime, trip: Trip, tells: frozenset[int] = frozenset()
    ) -> None:
        self.count += 1
        message = f"SM{self.count}"
        arrives = now + timedelta(seconds=trip.before_s + trip.behind_s)
        said = now + timedelta(seconds=trip.before_s + trip.skew_s)
        gateway = min(said, arrives) if trip.dated else None
        first = Flight(arrives, self._next(), phone, body, message, gateway, tells=tells)
        copies = [
            Flight(
                arrives + timedelta(seconds=copy.after_s),
                self._next(),
                phone,
                body,
                message if copy.same_id else f"{message}c{number}",
                _date_of(copy, gateway),
                tells=tells,
            )
            for number, copy in enumerate(trip.copies)
        ]
        self.flights += copies if trip.lost else [first, *copies]

    def to_phone(  # noqa: PLR0913, PLR0917  a text has as many sides as this
        self, phone: str, slug: str, body: str, now: datetime, trip: Trip, good_for: timedelta
    ) -> None:
        """A text that comes after its validity is over is not delivered any more."""
        arrives = now + timedelta(seconds=trip.before_s + trip.behind_s)
        expires = now + good_for
        spans = [0, *(copy.after_s for copy in trip.copies)]
        self.flights += [
            Flight(
                arrives + timedelta(seconds=span),
                self._next(),
                phone,
                body,
                slug=slug,
                expires=expires,
            )
            for span in (spans[1:] if trip.lost else spans)
        ]

    def _next(self) -> int:
        self.count += 1
        return self.count

    def first(self) -> Flight | None:
        return min(self.flights, key=lambda each: (each.arrives, each.order), default=None)

    def lands(self, flight: Flight) -> None:
        self.flights.remove(flight)


def _date_of(copy: Copy, gateway: datetime | None) -> datetime | None:
    """The gateway's own double has its date; one that the phone made has a later one."""
    if copy.same_id or gateway is None:
        return gateway
    return gateway + timedelta(seconds=copy.after_s)


_DELAYS_S = (1, 20, 330, LONGEST_S)
_COPIES = (
    (),
    (Copy(3, same_id=True),),
    (Copy(3, same_id=False),),
    (Copy(45, same_id=False),),
    (Copy(240, same_id=False),),
    (Copy(LONGEST_S, same_id=False),),
    (Copy(20, same_id=True), Copy(LONGEST_S, same_id=False)),
)
ODD = tuple(
    Trip(before, behind, dated, skew, lost, copies)
    for copies in _COPIES
    for before in _DELAYS_S
    for behind in _DELAYS_S
    for dated, skew in ((True, 0), (True, SKEW_S), (True, -SKEW_S), (False, 0))
    for lost in (False, True)
    if not lost or (before, behind, skew) == (1, 1, 0)
)
"""Whatever can happen to a text, from next to nothing to all at once."""


LATE = tuple(trip for trip in ODD if trip.behind_s > 100 and not trip.copies and not trip.lost)
"""A text that says what was so some minutes ago."""


def trips() -> st.SearchStrategy[Trip]:
    """Most texts arrive at once; some do not."""
    prompt = st.just(PROMPT)
    return st.one_of(prompt, prompt, prompt, st.integers(0, len(ODD) - 1).map(ODD.__getitem__))

"""All the phones of an invented clinic, and its clock: what the web phone shows and does."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count
from typing import Protocol
from zoneinfo import ZoneInfo

from bot.clock import FastClock
from bot.exports.as_text import as_text
from bot.identity import claim_of
from bot.inbox import Inbound
from bot.reports.cycles import Listed, cycles
from bot.reports.timeline import timeline
from bot.store.live import load
from bot.store.transaction import Store
from flows.parts.clinic import Bell, Clinic, Level, Role
from flows.replies.typed import tidy


class Line(Protocol):
    """A text on a screen; *place* counts those of all phones together."""

    @property
    def place(self) -> int: ...
    @property
    def body(self) -> str: ...
    @property
    def at(self) -> datetime: ...
    @property
    def typed(self) -> bool: ...


class Screens(Protocol):
    """What all the phones show."""

    def typed(self, number: str, body: str) -> Line: ...
    def on(self, number: str, after: int = 0) -> Sequence[Line]: ...
    def wait_for_any(self, after: int, at_most: timedelta) -> int: ...


@dataclass(frozen=True, slots=True)
class Holder:
    """Somebody who texts from a phone, and how they sign in where it is shared."""

    name: str
    number: int
    role: Role
    level: Level
    pin: str = field(default="", repr=False)


@dataclass(frozen=True, slots=True)
class Handset:
    number: str
    holders: tuple[Holder, ...]

    @property
    def is_shared(self) -> bool:
        return len(self.holders) > 1

    @property
    def names(self) -> str:
        return " / ".join(each.name for each in self.holders)

    @property
    def what(self) -> str:
        """Who uses it, in a few words."""
        roles = ", ".join(each.role for each in self.holders)
        if self.is_shared:
            return f"shared: {roles}"
        (only,) = self.holders
        texts = {Level.COACH: "a text for each step", Level.BRIEF: "brief texts"}
        return roles if only.role is Role.SUPERVISOR else f"{roles}, {texts[only.level]}"


@dataclass(slots=True)
class Phones:
    """All the phones of one site side by side, and a clock that may run faster."""

    site: str
    title: str
    zone: ZoneInfo
    handsets: tuple[Handset, ...]
    store: Store
    clock: FastClock
    screens: Screens
    hears: Callable[[Inbound], object]
    """The exchange's door for texts."""
    rings: Callable[[], object]
    """Rings what is due: the clock has been moved, and nobody else looks that soon."""
    seen: dict[str, int] = field(default_factory=dict)
    """The last place that was shown of each phone."""
    texts: Iterator[int] = field(default_factory=lambda: count(1))

    def text(self, handset: Handset, body: str) -> None:
        """Send what was typed; it stands on the screen before anything answers it."""
        # The next to hold a shared phone sees what was typed before: no PIN.
        claim = claim_of(tidy(body)) if handset.is_shared else None
        shown = self.screens.typed(handset.number, claim.masked if claim else body)
        sid = f"phone-{self.clock.now():%Y%m%d%H%M%S%f}-{next(self.texts)}"
        self.hears(Inbound(sid, handset.number, body, shown.at, channel="web"))

    def lines(self, handset: Handset, after: int = 0) -> Sequence[Line]:
        """What came behind *after*, which now counts as read."""
        lines = self.screens.on(handset.number, after)
        if lines:
            self.seen[handset.number] = max(lines[-1].place, self.seen.get(handset.number, 0))
        return lines

    def unread(self, handset: Handset) -> int:
        behind = self.screens.on(handset.number, self.seen.get(handset.number, 0))
        return sum(not line.typed for line in behind)

    # -- the clock ------------------------------------------------------------------------------

    def next_bell(self) -> Bell | None:
        """The bell that rings next, on whatever phone."""
        return min(self.clinic().bells.values(), key=lambda bell: bell.due, default=None)

    def skip_to_next_bell(self) -> None:
        bell = self.next_bell()
        if bell is not None:
            self.clock.skip_to(bell.due)
            self.rings()

    def skip(self, span: timedelta) -> None:
        """Let time pass, but no further than the next bell: it rings at its own moment."""
        bell = self.next_bell()
        until = self.clock.now() + span
        self.clock.skip_to(min(until, bell.due) if bell else until)
        self.rings()

    def run_at(self, rate: int) -> None:
        """Raises ValueError for a rate there is not."""
        self.clock.run_at(rate)
        self.rings()

    # -- the record -----------------------------------------------------------------------------

    def clinic(self) -> Clinic:
        with self.store.read() as connection:
            return load(connection, self.site).clinic

    def last_cycle(self) -> Listed | None:
        """The cycle that began last; None where none has."""
        with self.store.read() as connection:
            *_, last = (None, *cycles(connection, self.site))
        return last

    def record(self, cycle: Listed) -> str:
        """One cycle's record as text to read."""
        with self.store.read() as connection:
            return as_text(timeline(connection, self.site, cycle.cycle))

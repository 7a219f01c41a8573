"""One cycle, entry by entry, with the entries it rests on: its bath, its strip, its people."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from bot.record.written import Written, around_cycle, of_kinds
from bot.store.people import names_of, text_of
from flows.parts.clinic import empty
from flows.parts.events import (
    Corrected,
    CycleBegan,
    DeviceEnrolled,
    DeviceUsed,
    Event,
    JugActivated,
    JugOpened,
    PersonEnrolled,
    Poured,
    SiteChoiceMade,
    SiteOpened,
    StripBottleOpened,
    StripDipped,
    StripRead,
    StripsChecked,
    UseCodeGiven,
    UseWithoutCode,
)

E = TypeVar("E", bound=Event)

GROUNDS: tuple[type[Event], ...] = (
    SiteOpened,
    SiteChoiceMade,
    PersonEnrolled,
    DeviceEnrolled,
    JugActivated,
    JugOpened,
    Poured,
    StripBottleOpened,
    StripDipped,
    StripRead,
    StripsChecked,
    DeviceUsed,
    UseWithoutCode,
    UseCodeGiven,
    Corrected,
)
"""What a cycle may rest on that was written before it, or that was said of it after."""


class CycleUnknown(Exception):
    """The record holds no such cycle."""

    def __init__(self, site: str, named: str) -> None:
        super().__init__(
            f"The record of {site} holds no cycle {named}. soakbell record list shows them; a "
            "cycle is named by its id, by its release code, or by a device for its latest."
        )
        self.site = site
        self.named = named


@dataclass(frozen=True, slots=True)
class Timeline:
    """A cycle's own *entries* and, in *grounds*, all of the site's that it may rest on."""

    site: str
    cycle: str
    entries: tuple[Written, ...]
    grounds: tuple[Written, ...]
    names: Mapping[str, str] = field(default_factory=empty)
    reasons: Mapping[str, str] = field(default_factory=empty)
    """Why something was corrected, or is done otherwise than published, by its digest; what has
    been erased is not in it."""

    @property
    def began(self) -> Written:
        return next(each for each in self.entries if isinstance(each.stamped.event, CycleBegan))

    @property
    def device(self) -> str:
        event: Any = self.began.stamped.event
        return str(event.device)

    @property
    def zone(self) -> ZoneInfo:
        opened = self._opened
        return ZoneInfo(opened.zone if opened else "UTC")

    @property
    def title(self) -> str:
        """What people call the site; empty where nobody has said."""
        opened = self._opened
        return opened.title if opened else ""

    @property
    def _opened(self) -> SiteOpened | None:
        opened = self.ground(SiteOpened)
        event = opened.stamped.event if opened else None
        return event if isinstance(event, SiteOpened) else None

    def local(self, moment: datetime) -> datetime:
        return moment.astimezone(self.zone)

    def all_of(self, *kinds: type[E]) -> list[tuple[Written, E]]:
        """The cycle's own entries of these kinds, oldest first."""
        return [
            (each, each.stamped.event)
            for each in self.entries
            if isinstance(each.stamped.event, kinds)
        ]

    def ground(
        self,
        kind: type[E],
        fits: Callable[[E], bool] = lambda _: True,
        *,
        before: int | None = None,
    ) -> Written | None:
        """The latest that it rests on of that kind, written before entry number *before*."""
        found = (
            each
            for each in reversed(self.grounds)
            if before is None or each.seq < before
            if isinstance(each.stamped.event, kind) and fits(each.stamped.event)
        )
        return next(found, None)

    def corrections(self, seq: int) -> list[tuple[int, Corrected]]:
        """What was corrected about entry number *seq*, oldest first, and by which entry (S15)."""
        return [(number, said) for number, said in self.all_corrections if said.entry == seq]

    @property
    def all_corrections(self) -> list[tuple[int, Corrected]]:
        """All of the site's, of whatever cycle."""
        return _corrections(self.grounds)

    def because(self, digest: str) -> str:
        """The words behind a digest, and that they have been erased where they have."""
        return self.reasons.get(digest, "(erased)")

    def called(self, person: str | None) -> str:
        """A person's name from the register, and that they have been erased where they have."""
        if person is None:
            return ""
        return self.names.get(person, "(erased)")


def timeline(connection: Connection, site: str, cycle: str) -> Timeline:
    """Raises CycleUnknown, and EntryUnreadable for what this release cannot read."""
    return _timeline(connection, site, cycle, _grounds(connection, site))


def timelines(connection: Connection, site: str) -> Iterator[Timeline]:
    """Every cycle of a site, in the order in which they began."""
    grounds = _grounds(connection, site)
    for began in of_kinds(connection, site, (CycleBegan.__name__,)):
        event: Any = began.stamped.event
        yield _timeline(connection, site, event.cycle, grounds)


def corrections(connection: Connection, site: str) -> list[tuple[int, Corrected]]:
    """Every correction of a site, and the number of the entry that says it."""
    return _corrections(of_kinds(connection, site, (Corrected.__name__,)))


def _corrections(entries: Iterable[Written]) -> list[tuple[int, Corrected]]:
    found = ((each.seq, each.stamped.event) for each in entries)
    return [(seq, event) for seq, event in found if isinstance(event, Corrected)]


def _grounds(connection: Connection, site: str) -> tuple[Written, ...]:
    return tuple(of_kinds(connection, site, [kind.__name__ for kind in GROUNDS]))


def _timeline(
    connection: Connection, site: str, cycle: str, grounds: tuple[Written, ...]
) -> Timeline:
    around = around_cycle(connection, site, cycle)
    if not any(isinstance(each.stamped.event, CycleBegan) for each in around):
        raise CycleUnknown(site, cycle)
    entries = tuple(_own(around, cycle))
    names, reasons = names_of(connection, site), _reasons(connection, site, grounds)
    return Timeline(site, cycle, entries, grounds, names, reasons)


def _reasons(connection: Connection, site: str, grounds: tuple[Written, ...]) -> Mapping[str, str]:
    events = [each.stamped.event for each in grounds]
    digests = [each.reason_digest for each in events if isinstance(each, Corrected)]
    digests += [each.reason for each in events if isinstance(each, SiteChoiceMade) and each.reason]
    kept = {digest: text_of(connection, site, digest) for digest in digests}
    return {digest: words for digest, words in kept.items() if words is not None}


def _own(around: Sequence[Written], cycle: str) -> Iterator[Written]:
    """Entries of the cycle, of its conversations, and what the same text or bell set off.

    One exchange has one moment and one cause; what it says of another cycle is that one's.
    """
    threads = {_part(each, "thread") for each in around if _part(each, "cycle") == cycle} - {None}
    bells = {_part(each, "bell") for each in around if _part(each, "thread") in threads} - {None}
    exchanges = {_exchange(each) for each in around if _part(each, "cycle") == cycle}
    for each in around:
        of_cycle, of_thread, of_bell = (_part(each, key) for key in ("cycle", "thread", "bell"))
        if of_cycle == cycle or (
            of_cycle is None
            and (
                of_thread in threads
                or of_bell in bells
                or (of_thread is None and _exchange(each) in exchanges)
            )
        ):
            yield each


def _part(written: Written, name: str) -> Any:
    return getattr(written.stamped.event, name, None)


def _exchange(written: Written) -> tuple[datetime, str | None]:
    return written.stamped.at, written.stamped.cause

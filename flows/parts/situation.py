"""What a step may look at, read-only: person, device, containers, protocol, open questions."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

from flows.parts.clinic import Clinic, Cycle, Device, Frame, Person, Phone, Role, Site, Thread
from flows.parts.events import Event, Stamped
from flows.protocols import shipped
from flows.protocols.model import Chemistry, CycleProtocol, Product, StripProduct
from flows.protocols.versions import held_to
from flows.replies.typed import Typed


@lru_cache(maxsize=64)
def parsed(canonical: str) -> CycleProtocol:
    """A whole protocol, from its canonical JSON. Raises KeyError or ValueError if it is none."""
    return CycleProtocol.from_mapping(json.loads(canonical))


def protocol_of(cycle: Cycle) -> CycleProtocol:
    """The whole protocol that *cycle* began with."""
    return parsed(cycle.protocol)


SINCE = "since"
"""Where a frame remembers when its question was first put."""

History = Callable[[str], tuple[Stamped, ...]]
"""The record's own entries of one cycle, oldest first: releases are earned from these."""


Past = Callable[[tuple[type[Event], ...], datetime], tuple[Stamped, ...]]
"""The record's entries of these kinds since a moment, oldest first: what use is estimated from."""


def no_past(_: tuple[type[Event], ...], __: datetime) -> tuple[Stamped, ...]:
    """For whoever has no record at hand: nothing is estimated."""
    return ()


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Command and answer words in one language, by slug."""

    words: Mapping[str, str]

    def word(self, slug: str) -> str:
        return self.words[slug]


@dataclass(frozen=True, slots=True)
class Situation:
    """One phone's view of a clinic at the moment something comes in."""

    clinic: Clinic
    phone: Phone
    person: Person | None
    vocabulary: Vocabulary
    today: Callable[[str], CycleProtocol]
    """Today's protocol for a device model, with the site's choices laid over it."""
    history: History
    names: Mapping[str, str]
    """How people are called in texts, by id; from the register, never from the record."""
    past: Past = no_past
    thread: Thread | None = None
    typed: Typed | None = None
    sent_at: datetime | None = None
    """The earliest moment the evidence allows for the text being sent (S2)."""

    @property
    def site(self) -> Site:
        if self.clinic.site is None:
            raise LookupError("This clinic has not been opened: no SiteOpened in its record.")
        return self.clinic.site

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.site.zone)

    @property
    def who(self) -> Person:
        if self.person is None:
            raise LookupError("Nobody has signed in on this phone; a step needs a person.")
        return self.person

    @property
    def open(self) -> Thread:
        if self.thread is None:
            raise LookupError("No question is open here; a step is only asked of a thread.")
        return self.thread

    @property
    def frame(self) -> Frame:
        return self.open.top

    @property
    def first_asked(self) -> datetime:
        """S5: when the open question was first put, on whichever phone and however often since."""
        said = self.frame.memo.get(SINCE)
        return datetime.fromisoformat(said) if said else self.open.asked_at

    @property
    def cycle(self) -> Cycle:
        """The cycle this thread is about. Raises LookupError where it is about none."""
        cycle = self.clinic.cycles.get(self.open.cycle or "")
        if cycle is None:
            raise LookupError(f"Thread {self.open.id} has no open cycle.")
        return cycle

    @property
    def cycles_on_phone(self) -> list[Cycle]:
        """The open cycle of each conversation on this phone that is about one."""
        cycles, threads = self.clinic.cycles, self.clinic.threads.values()
        mine = (cycles.get(each.cycle or "") for each in threads if each.phone == self.phone.id)
        return [each for each in mine if each is not None]

    def told_here(self, kinds: tuple[type[Event], ...], since: datetime) -> list[Event]:
        """What of these *kinds* this very phone has told since a moment, oldest first."""
        told = self.past(kinds, since)
        return [each.event for each in told if each.phone == self.phone.id]

    @property
    def threads_here(self) -> list[Thread]:
        """The conversations of this person on this phone."""
        here = (self.phone.id, self.who.id)
        threads = self.clinic.threads.values()
        return [each for each in threads if (each.phone, each.person) == here]

    @property
    def device(self) -> Device:
        return self.clinic.devices[self.cycle.device]

    @property
    def protocol(self) -> CycleProtocol:
        """S1: the stricter, figure by figure, of what this cycle began with and today's."""
        return held_to(protocol_of(self.cycle), self.today(self.device.model))

    @property
    def todays(self) -> CycleProtocol:
        """Today's protocol, outside of a cycle: that of the first device."""
        return self.today(next(iter(self.clinic.devices.values())).model)

    @property
    def protocol_here(self) -> CycleProtocol:
        """The cycle's own protocol, where this conversation is about a cycle; else today's.

        That of the product in hand, where one was named; else of the first device.
        """
        if self.open.cycle in self.clinic.cycles:
            return self.protocol
        frames = reversed(self.open.frames)
        named = next((each.memo["product"] for each in frames if "product" in each.memo), "")
        return self.protocol_for(named) or self.todays

    def protocol_for(self, product: str) -> CycleProtocol | None:
        """By which devices soak in that disinfectant here, or such strips are read; or None.

        That of a cycle on this phone before today's.
        """
        mine = map(protocol_of, self.cycles_on_phone)
        models = dict.fromkeys(each.model for each in self.clinic.devices.values())
        known = (*mine, *map(self.today, models))
        return next((each for each in known if _is_of(product, each)), None)

    def chemistry(self, product: str) -> Chemistry:
        """S5: what a container holds keeps its name and lives, whatever is used here by now."""
        here = self.protocol_here.chemistry
        known = here if here.name == product else self.product(product)
        return known if isinstance(known, Chemistry) else here

    def strip(self, product: str) -> StripProduct:
        """S4: a strip is read as it was made to be, whatever is dipped here by now."""
        here = self.protocol_here.strip
        known = here if here.name == product else self.product(product)
        return known if isinstance(known, StripProduct) else here

    def product(self, name: str) -> Product | None:
        """As it is used here, else as it is shipped; None where no file has it any more."""
        here = self.protocol_for(name)
        known = here.products() if here else ()
        return next((each for each in known if each.name == name), shipped().product(name))

    def uses(self, product: str) -> bool:
        """S4: whether a device here is soaked in it today, or such strips are read for one."""
        models = dict.fromkeys(each.model for each in self.clinic.devices.values())
        return any(_is_of(product, self.today(model)) for model in models)

    def local_day(self, moment: datetime) -> date:
        return moment.astimezone(self.zone).date()

    def supervisors(self) -> tuple[str, ...]:
        """Phones of the site's supervisors, in the order they were enrolled."""
        return tuple(
            phone.id
            for phone in self.clinic.phones.values()
            if any(self._is_supervisor(person) for person in phone.people)
        )

    def _is_supervisor(self, person: str) -> bool:
        known = self.clinic.people.get(person)
        return known is not None and known.role is Role.SUPERVISOR


def _is_of(product: str, protocol: CycleProtocol) -> bool:
    """S4: where no strip exists for a disinfectant, none is read for it either."""
    if product == protocol.chemistry.name:
        return True
    return product == protocol.strip.name and not protocol.chemistry.is_single_use

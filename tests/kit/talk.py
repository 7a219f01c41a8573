"""A bot without a shell: the flows, a clinic in memory, a clock held by hand.

It does what the shell does and nothing more: keeps the entries, rings bells that are due, hands
in the time. Texts are shown in English, so that tests read like a phone.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.texts.render import Renderer
from flows.answer import Around, BellIn, FactIn, Incoming, TextIn, answer
from flows.parts.clinic import Bell, Clinic, Kind, Level, Role
from flows.parts.decision import Outcome, Saying
from flows.parts.events import (
    DeviceEnrolled,
    Event,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Poured,
    SiteOpened,
    Stamped,
    StripBottleOpened,
)
from flows.parts.moment import Moment
from flows.parts.state import fold
from flows.protocols import protocol_for, shipped
from flows.protocols.model import CycleProtocol, Selection
from flows.replies.typed import tidy
from flows.words import ENGLISH

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
"""A Monday morning."""

SELECTION = Selection("opa_055", "opa_strip_1s_90s", "handheld_probe", "enzymatic")


def shipped_protocol(selection: Selection = SELECTION) -> CycleProtocol:
    """What is shipped, untouched by any site."""
    protocol = protocol_for(selection, (), shipped())
    if isinstance(protocol, list):
        raise TypeError(protocol)
    return protocol


@dataclass
class Talk:
    """Phones that text a clinic, and what they hear."""

    now: datetime = NINE
    clinic: Clinic = field(default_factory=Clinic)
    entries: list[Stamped] = field(default_factory=list)
    heard: dict[str, list[str]] = field(default_factory=dict)
    said: list[Saying] = field(default_factory=list)
    protocol: CycleProtocol = field(default_factory=shipped_protocol)
    protocols: dict[str, CycleProtocol] = field(default_factory=dict)
    """By device model, where one is soaked otherwise than the rest."""
    count: int = 0
    words: tuple[str, ...] = ()
    """Of the text that is being heard; none of a bell or a fact."""
    watching: Callable[["Talk", Outcome], None] | None = None
    renderer: Renderer = field(default_factory=Renderer)

    # -- what a shell does ----------------------------------------------------------------------

    def exchange(self, incoming: Incoming, *, phone: str = "", person: str = "") -> Outcome:
        """One text, bell or fact, all the way."""
        self.count += 1
        self.words = incoming.typed.words if isinstance(incoming, TextIn) else ()
        moment = Moment(self.now, f"token{self.count}")
        outcome = answer(self.clinic, incoming, moment, self.around())
        for event in outcome.events:
            stamped = Stamped(event, self.now, person or None, phone or None)
            self.entries.append(stamped)
            self.clinic = fold(self.clinic, stamped)
        for saying in outcome.says:
            self.said.append(saying)
            self.heard.setdefault(saying.to or phone, []).append(self.shown(saying))
        if self.watching:
            self.watching(self, outcome)
        return outcome

    def around(self) -> Around:
        return Around(
            names={person: f"Name{person}" for person in self.clinic.people},
            vocabularies={"en": ENGLISH},
            today=lambda model: self.protocols.get(model, self.protocol),
            history=lambda cycle: tuple(
                each for each in self.entries if getattr(each.event, "cycle", None) == cycle
            ),
            past=lambda kinds, since: tuple(
                each for each in self.entries if isinstance(each.event, kinds) and each.at >= since
            ),
        )

    def shown(self, saying: Saying) -> str:
        site = self.clinic.site
        zone = ZoneInfo(site.zone if site else "UTC")
        return self.renderer.render(saying.text, "en", zone, self.now)

    # -- what tests say -------------------------------------------------------------------------

    def let(self, *events: Event) -> None:
        """Facts from the registers."""
        self.exchange(FactIn(events))

    def sends(
        self, body: str, *, phone: str = "ph1", after: float = 0, carried: float = 0
    ) -> list[str]:
        """Text *body*, *after* seconds from now, and *carried* seconds on its way; what is heard.

        The evidence is no better than the arrival: a carrier's delay cannot be seen by the bot.
        """
        self.wait(seconds=after + carried)
        before = len(self.heard.get(phone, []))
        person = self.holder(phone)
        text = TextIn(phone, tidy(body), self.now, inbound=f"m{self.count}")
        self.exchange(text, phone=phone, person=person)
        return self.heard.get(phone, [])[before:]

    def holder(self, phone: str) -> str:
        known = self.clinic.phones[phone]
        return (known.holder if known.shared else known.people[0]) or ""

    def wait(self, seconds: float = 0, minutes: float = 0) -> None:
        """Let time pass, ringing each bell at its moment."""
        until = self.now + timedelta(seconds=seconds, minutes=minutes)
        while due := self._next(until):
            self.now = max(self.now, due.due)
            self.exchange(BellIn(due.id, self.now - due.due))
        self.now = until

    def _next(self, until: datetime) -> Bell | None:
        due = [bell for bell in self.clinic.bells.values() if bell.due <= until]
        return min(due, key=lambda bell: (bell.due, bell.id), default=None)

    def last(self, phone: str = "ph1") -> str:
        return self.heard[phone][-1]

    def happened(self, kind: type) -> list:  # type: ignore[type-arg]
        return [each.event for each in self.entries if isinstance(each.event, kind)]

    def number(self, phone: str = "ph1") -> str:
        """The two-digit number in the last text that had one, as a reader sees it."""
        for text in reversed(self.heard[phone]):
            found = re.search(r"(?:OUT|RINSED|IN) (\d\d)\b(?!\.\d)", text)
            if found:
                return found[1]
        raise AssertionError("No number was heard.")


def clinic(
    *,
    level: Level = Level.COACH,
    stocked: bool = True,
    bath: bool = True,
    devices: tuple[str, ...] = ("V1",),
    selection: Selection = SELECTION,
) -> Talk:
    """A clinic with a worker on ph1, another on ph2, a supervisor on ph9, and supplies.

    Of another *selection* than the usual it has none yet.
    """
    talk = Talk(protocol=shipped_protocol(selection))
    talk.let(
        SiteOpened("s1", "Etc/GMT-3", "17:00", "en", "dmy"),
        PersonEnrolled("p1", 1, Role.WORKER, level, may_release=True, language="en"),
        PersonEnrolled("p2", 2, Role.WORKER, Level.COACH, may_release=True, language="en"),
        PersonEnrolled("p9", 9, Role.SUPERVISOR, Level.COACH, may_release=True, language="en"),
        PhoneEnrolled("ph1", ("p1",), shared=False),
        PhoneEnrolled("ph2", ("p2",), shared=False),
        PhoneEnrolled("ph9", ("p9",), shared=False),
        *(DeviceEnrolled(label, selection.device_model) for label in devices),
    )
    if stocked and selection == SELECTION:
        _stock(talk, bath=bath)
    return talk


def _stock(talk: Talk, *, bath: bool) -> None:
    week = talk.now + timedelta(days=7)
    talk.let(
        JugOpened("J1", "opa_055", "L1", date(2027, 3, 31), talk.now, week, "jug_open_life"),
        Poured(
            "B1", Kind.BOTTLE, "J1", "opa_055", "L1", talk.now, week, "reuse_life", topped_up=False
        ),
        StripBottleOpened(
            "S1", "opa_strip_1s_90s", "L9", date(2027, 3, 31), talk.now, week, checked=True
        ),
    )
    if bath:
        talk.let(
            Poured(
                "T1",
                Kind.BATH,
                "B1",
                "opa_055",
                "L1",
                talk.now,
                week,
                "reuse_life",
                topped_up=False,
            )
        )

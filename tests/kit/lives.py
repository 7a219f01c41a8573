"""S4-S6, once more and on their own: what the entries say of every container, and of every soak.

Written from the rules, not from the code that enforces them: nothing of `flows.rules` is used.
"""

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from flows.parts import events as e
from flows.parts.clinic import Clinic, Kind
from flows.parts.events import Event

REUSE_LIFE = timedelta(days=14)
"""Source: CDC/HICPAC 2008, Table 4, OPA 0.55 %."""

JUG_OPEN_LIFE = timedelta(days=75)
"""Source: from memory, typical of product instructions."""

STRIPS_OPEN_LIFE = timedelta(days=90)
"""Source: a hospital radiology policy, 3364-135-028, 2017."""

WET = timedelta(minutes=1)
"""Source: common practice, none published."""

STRIP_FROM, STRIP_UNTIL = timedelta(seconds=90), timedelta(seconds=121)
"""Source: from memory, product instructions: dip 1 s, read after 90 s, within 30 s."""

TWIN = "S5: a jug or strips of a lot that still stands here may be those, with a later date"

Lot = tuple[str, str]
"""Of which product, and as it was noted: empty where none was."""


def _may_be_one(one: Lot, other: Lot) -> bool:
    return one[0] == other[0] and (one[1] == other[1] or not one[1] or not other[1])


@dataclass
class Life:
    """A container as its entries have made it, since it was opened or poured."""

    ends: datetime
    source: str = ""
    kind: str = ""
    spoilt: str = ""
    lot: Lot = ("", "")
    strip: tuple[datetime, e.StripRead] | None = None
    failed: datetime | None = None
    put_in: list[tuple[datetime, str]] = field(default_factory=list)
    """When which cycle's probe went into it."""
    gone: bool = False
    """Somebody has said that it was thrown away."""


@dataclass
class Lives:
    """All containers of a clinic, told event by event."""

    zone: ZoneInfo
    lives: dict[str, Life] = field(default_factory=dict)
    strips: dict[str, e.StripBottleOpened] = field(default_factory=dict)
    strips_gone: set[str] = field(default_factory=set)
    strips_condemned: set[str] = field(default_factory=set)
    strips_thrown_away: set[str] = field(default_factory=set)
    dipped: dict[str, datetime] = field(default_factory=dict)
    used: dict[str, str] = field(default_factory=dict)
    soaks: int = 0
    topped: int = 0
    """How often somebody texted that something had been poured on top of a rest."""
    twins: int = 0
    """How often strips were opened of a lot that stood here: without any it is no promise."""

    def hears(self, at: datetime, event: Event, words: tuple[str, ...] = ()) -> None:
        """One entry, and the *words* of its text. Raises AssertionError where it breaks a rule."""
        if isinstance(event, e.JugOpened):
            self._opened(event)
        elif isinstance(event, e.Poured):
            self._poured(at, event, is_topped="TOPPED" in words)
        elif isinstance(event, e.Mixed):
            self._mixed(event)
        elif isinstance(event, e.StripBottleOpened):
            self._strips(event)
        else:
            self._hears_of_strips(at, event)

    def _hears_of_strips(self, at: datetime, event: Event) -> None:
        if isinstance(event, e.StripsChecked):
            self.strips[event.tag] = replace(self.strips[event.tag], checked=event.passed)
        elif isinstance(event, e.StripDipped):
            self._dipped(at, event)
        elif isinstance(event, e.StripRead):
            self._read(at, event)
        elif isinstance(event, e.ContainerCondemned | e.ContainerHeld | e.ContainerDiscarded):
            self._spoilt(event)
        elif isinstance(event, e.Immersed):
            self._immersed(at, event)
        elif isinstance(event, e.StepDone) and event.what == "wipe_disinfectant":
            self._wiped(at, event)

    def sees(self, clinic: Clinic) -> None:
        """What the clinic makes of it: no date is later than the record's own."""
        for tag, container in clinic.containers.items():
            life = self.lives[tag]
            assert container.discard_by <= life.ends, f"S5: {tag} got a later date"
            life.ends = container.discard_by
        for tag, bottle in clinic.strips.items():
            assert bottle.discard_by <= self.strips[tag].discard_by, f"S5: {tag} got a later date"

    # -- lives ----------------------------------------------------------------------------------

    def _opened(self, jug: e.JugOpened) -> None:
        assert jug.discard_by <= self._after(jug.expires), "S5: past the maker's date"
        assert jug.discard_by <= jug.opened + JUG_OPEN_LIFE
        lot = (jug.product, jug.lot)
        for life in self.lives.values():
            is_here = life.kind is Kind.JUG and not life.gone and _may_be_one(lot, life.lot)
            assert not is_here or jug.discard_by <= life.ends, TWIN
        self.lives[jug.tag] = Life(jug.discard_by, kind=Kind.JUG, lot=lot)

    def _poured(self, at: datetime, poured: e.Poured, *, is_topped: bool) -> None:
        source = self.lives[poured.source]
        assert at < source.ends, f"S5: poured from {poured.source}, which is out of date"
        assert not source.spoilt, f"S6: poured from {poured.source}: {source.spoilt}"
        assert poured.discard_by <= source.ends, "S5: pouring renewed a date"
        assert poured.discard_by <= poured.poured + REUSE_LIFE
        assert poured.poured <= at, "S5: poured in the future"
        assert poured.topped_up is is_topped, f"S6: {poured.tag} is not noted as it was texted"
        spoilt = "topped up" if is_topped else ""
        self.topped += is_topped
        self.lives[poured.tag] = Life(poured.discard_by, poured.source, poured.kind, spoilt)

    def _mixed(self, mixed: e.Mixed) -> None:
        """A day at most, and new each day. Source: CDC sheet CS316270A, 15 May 2020."""
        assert mixed.discard_by <= self._after(mixed.mixed.astimezone(self.zone).date())
        self.lives[mixed.tag] = Life(mixed.discard_by, kind=Kind.MIXED)

    def _strips(self, bottle: e.StripBottleOpened) -> None:
        assert bottle.discard_by <= self._after(bottle.expires), "S5: past the maker's date"
        assert bottle.discard_by <= bottle.opened + STRIPS_OPEN_LIFE
        for tag, other in self.strips.items():
            is_twin = _may_be_one((bottle.product, bottle.lot), (other.product, other.lot))
            is_here = is_twin and tag not in self.strips_thrown_away
            assert not is_here or bottle.discard_by <= other.discard_by, TWIN
            self.twins += is_here
        self.strips[bottle.tag] = bottle

    def _after(self, day: date) -> datetime:
        """Midnight after that day, at the site."""
        return datetime.combine(day + timedelta(days=1), time(0), self.zone).astimezone(UTC)

    def _spoilt(
        self, event: e.ContainerCondemned | e.ContainerHeld | e.ContainerDiscarded
    ) -> None:
        if event.tag in self.strips:
            self.strips_gone.add(event.tag)
            if isinstance(event, e.ContainerDiscarded):
                self.strips_thrown_away.add(event.tag)
            else:
                self.strips_condemned.add(event.tag)
            return
        life = self.lives[event.tag]
        if not life.spoilt or life.spoilt == "held":
            waits = isinstance(event, e.ContainerHeld) and event.because != "no_result"
            life.spoilt = "held" if waits else type(event).__name__
        life.gone = life.gone or isinstance(event, e.ContainerDiscarded)
        life.strip = None

    # -- strips ---------------------------------------------------------------------------------

    def _dipped(self, at: datetime, dip: e.StripDipped) -> None:
        """Good as it is dipped; its bottle may come to its end before it is read."""
        bottle = self.strips[dip.strips]
        assert bottle.checked, "S4: a strip was dipped that nobody has checked"
        assert at < bottle.discard_by, "S4: a strip was dipped that is out of date"
        assert dip.strips not in self.strips_gone, "S4: a strip was dipped that was thrown away"
        self.dipped[dip.test] = at

    def _read(self, at: datetime, read: e.StripRead) -> None:
        life = self.lives[read.container]
        if read.outcome == "fail":
            life.failed, life.strip = at, None
            return
        if read.outcome != "pass":
            return
        age = at - self.dipped[read.test]
        assert STRIP_FROM <= age <= STRIP_UNTIL, "S4: a strip passed that was read too late"
        assert self.strips[read.strips].checked, "S4: a strip passed that failed its own control"
        assert read.strips not in self.strips_condemned, "S4: a strip passed that is recalled"
        if life.spoilt in {"", "held"} and at < life.ends:
            life.strip, life.spoilt = (at, read), ""

    # -- soaks ----------------------------------------------------------------------------------

    def _immersed(self, at: datetime, into: e.Immersed) -> None:
        """A bath in date, passed today by a strip that no other cycle has used."""
        bath = self.lives[into.bath]
        assert bath.kind == Kind.BATH
        assert not bath.spoilt, f"S4, S6: soaked in {into.bath}: {bath.spoilt}"
        assert at < bath.ends, "S5: soaked in a bath out of date"
        assert bath.strip is not None, "S4: soaked in a bath without a pass"
        read_at, read = bath.strip
        assert read.test == into.strip_test
        assert read_at.astimezone(self.zone).date() == at.astimezone(self.zone).date()
        assert self.used.setdefault(read.test, into.cycle) == into.cycle, "S4: a second use"
        self._no_kin_failed_since(into.bath, read_at)
        since = {cycle for put_in, cycle in bath.put_in if put_in >= self.dipped[read.test]}
        assert since <= {into.cycle}, "S4: something has been in it since its strip was dipped"
        bath.put_in.append((at, into.cycle))
        self.soaks += 1

    def _wiped(self, at: datetime, done: e.StepDone) -> None:
        """Handle and cable, with what is in date as long as it is left wet, and not spoilt."""
        life = self.lives[done.container]
        assert life.kind in {Kind.JUG, Kind.BOTTLE}
        assert not life.spoilt, f"S4: wiped with {done.container}: {life.spoilt}"
        assert at + WET < life.ends, "S5: wiped with what is out of date"

    def _no_kin_failed_since(self, tag: str, read_at: datetime) -> None:
        """What it was poured from has not failed; nor has its kin since its own strip."""
        line = self._line(tag)
        for other, life in self.lives.items():
            if life.failed is None:
                continue
            assert other not in line, f"S4: soaked in what was poured from {other}, which failed"
            if self._line(other)[-1] == line[-1]:
                assert life.failed < read_at, f"S4: {other} failed since, and is of the same jug"

    def _line(self, tag: str) -> list[str]:
        """A container, what it was poured from, and so on to the jug."""
        line = [tag]
        while (source := self.lives[line[-1]].source) in self.lives:
            line.append(source)
        return line

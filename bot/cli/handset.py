"""The phones of a conversation in the terminal: one in hand, the others on the table."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from textwrap import wrap

import click

from bot import wiring
from bot.cli.district import Character, District
from bot.clock import HandClock
from bot.inbox import Inbound
from bot.texts.segments import segments
from bot.timers import next_due

KEYS = (
    "@+12m, @+90s and @+1h let time pass, @bell lets it pass to the next bell, "
    "@who 2 picks up another phone, @who lists them"
)
_SPAN = re.compile(r"\+([0-9]{1,4})([smh])")
_UNITS = {"s": timedelta(seconds=1), "m": timedelta(minutes=1), "h": timedelta(hours=1)}
_WIDTH = 78
_INDENT = " " * 11


class NoSuchKey(click.ClickException):
    """An @ that is none; in a script the code is that of a mistyped command."""

    exit_code = 2


@dataclass(slots=True)
class Tally:
    """Texts of one direction, as they would be charged for."""

    texts: int = 0
    septets: int = 0
    segments: int = 0

    def add(self, body: str) -> str:
        counted = segments(body)
        self.texts += 1
        self.septets += counted.septets
        self.segments += counted.count
        return f" [{counted.septets}/{counted.count}]"

    def __str__(self) -> str:
        return f"{self.texts} texts, {self.septets} septets, {self.segments} segments"


@dataclass(slots=True)
class Table:
    """Whoever has one of the phones in hand also holds the clock."""

    district: District
    bot: wiring.Bot
    look: Callable[[], None]
    """Rings and sends what is due."""
    clock: HandClock
    arrived: list[tuple[str, str]]
    """Number and text of what has reached a phone and has not been looked at."""
    holding: Character
    say: Callable[[str], None]
    pace: timedelta
    counts: bool
    echoes: bool
    typed: Tally = field(default_factory=Tally)
    heard: Tally = field(default_factory=Tally)
    unread: dict[str, list[tuple[datetime, str]]] = field(default_factory=dict)

    def take(self, line: str) -> None:
        """Do what a line says. Raises NoSuchKey for an @ that is none."""
        if line.startswith("@"):
            if self.echoes:
                self.say(line)
            self._turn(line[1:].split())
        elif line and not line.startswith("#"):
            self._text(line)

    def pick_up(self, who: Character) -> None:
        self.holding = who
        people = self.district.on(who.phone)
        names = " and ".join(f"{each.name} ({each.role}, {each.level})" for each in people)
        self.say(f"-- The phone of {names}")
        if len(people) > 1:
            pins = " or ".join(f"{each.number} {each.pin}" for each in people)
            self.say(f"   It is shared. Who holds it texts number and PIN: {pins}")
        for at, body in self.unread.pop(who.phone, []):
            self._print(at, "<", body, self.heard)

    def _turn(self, words: list[str]) -> None:
        match words:
            case ["bell"]:
                self._to_next_bell()
            case ["who"]:
                self._list()
            case ["who", number]:
                self._pick_up(number)
            case [span] if (found := _SPAN.fullmatch(span)) is not None:
                self._let_pass(int(found[1]) * _UNITS[found[2]])
            case _:
                raise NoSuchKey(f"@{' '.join(words)} is not known: {KEYS}.")

    def _text(self, body: str) -> None:
        self._let_pass(self.pace)
        if self.echoes:
            self._print(self.clock.now(), ">", body, self.typed)
        else:
            self.typed.add(body)
        now = self.clock.now()
        sid = f"chat-{self.typed.texts}"
        self.bot.exchange.text(Inbound(sid, self.holding.phone, body, now, channel="terminal"))
        self._look()

    # -- the clock ------------------------------------------------------------------------------

    def _let_pass(self, span: timedelta) -> None:
        """Each bell on the way rings at its own moment."""
        until = self.clock.now() + span
        while (due := next_due(self.bot.store)) is not None and due <= until:
            self._at(due)
        self._at(until)

    def _to_next_bell(self) -> None:
        due = next_due(self.bot.store)
        if due is None:
            self.say("No bell is set.")
        else:
            self._at(due)

    def _at(self, moment: datetime) -> None:
        self.clock.set(max(moment, self.clock.now()))
        self._look()

    # -- what the phones show -------------------------------------------------------------------

    def _look(self) -> None:
        self.look()
        while self.arrived:
            number, body = self.arrived.pop(0)
            if number == self.holding.phone:
                self._print(self.clock.now(), "<", body, self.heard)
            else:
                self._hum(number, body)

    def _hum(self, number: str, body: str) -> None:
        """Another phone on the table; it shows its text once it is picked up."""
        self.unread.setdefault(number, []).append((self.clock.now(), body))
        people = self.district.on(number)
        names = " and ".join(each.name for each in people)
        self.say(f"{_INDENT}({names} got a text: @who {people[0].number})")

    def _list(self) -> None:
        for each in self.district.people:
            held = ", in hand" if each.phone == self.holding.phone else ""
            self.say(f"  {each.number}  {each.name}, {each.role}, {each.phone}{held}")

    def _pick_up(self, number: str) -> None:
        found = [each for each in self.district.people if str(each.number) == number]
        if not found:
            raise NoSuchKey(f"Nobody here has the number {number}; @who lists them.")
        self.pick_up(found[0])

    def _print(self, at: datetime, mark: str, body: str, tally: Tally) -> None:
        local = at.astimezone(self.district.zone)
        counted = tally.add(body)
        lines = wrap(
            body + (counted if self.counts else ""),
            _WIDTH,
            break_on_hyphens=False,
            initial_indent=f"{local:%H:%M:%S} {mark} ",
            subsequent_indent=_INDENT,
        )
        self.say("\n".join(lines))

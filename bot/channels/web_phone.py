"""The phone drawn in a browser."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from threading import Condition

from bot.clock import machine_time
from bot.outbox.channel import Accepted


@dataclass(frozen=True, slots=True)
class Shown:
    """A text on a phone's screen; *place* counts all texts ever shown, on every phone."""

    place: int
    number: str
    body: str
    ref: str
    at: datetime
    typed: bool = False
    """Typed on this phone; otherwise it came from us."""

    @property
    def sid(self) -> str:
        return f"web-{self.place}"


class WebPhone:
    """Remembers what each phone would show, and wakes whoever waits for news.

    It lives as long as the process: the record holds what was said, this only shows it.
    """

    def __init__(self, now: Callable[[], datetime] = machine_time) -> None:
        self._now = now
        self._news = Condition()
        self._shown: list[Shown] = []

    def send(self, to_number: str, body: str, callback_ref: str, valid_for: timedelta) -> Accepted:
        del valid_for
        return Accepted(self._show(to_number, body, callback_ref).sid)

    def typed(self, number: str, body: str) -> Shown:
        """Show what was typed on a phone, before anything answers."""
        return self._show(number, body, "", typed=True)

    def look_up(
        self, to_number: str, body: str, callback_ref: str, since: datetime, known: frozenset[str]
    ) -> Accepted | None:
        del body, since
        with self._news:
            for shown in self._shown:
                is_it = (shown.number, shown.ref) == (to_number, callback_ref)
                if is_it and shown.sid not in known:
                    return Accepted(shown.sid)
        return None

    def on(self, number: str, after: int = 0) -> list[Shown]:
        """What the phone shows, oldest first, from behind place *after* on."""
        with self._news:
            return self._on(number, after)

    def wait(self, number: str, after: int, at_most: timedelta) -> list[Shown]:
        """The same, but waits for news up to *at_most*; an empty list where none came."""
        with self._news:
            self._news.wait_for(lambda: bool(self._on(number, after)), at_most.total_seconds())
            return self._on(number, after)

    def wait_for_any(self, after: int, at_most: timedelta) -> int:
        """The last place there is, on whatever phone, once there is one behind *after*."""
        with self._news:
            self._news.wait_for(lambda: len(self._shown) > after, at_most.total_seconds())
            return len(self._shown)

    def _show(self, number: str, body: str, ref: str, *, typed: bool = False) -> Shown:
        with self._news:
            shown = Shown(len(self._shown) + 1, number, body, ref, self._now(), typed)
            self._shown.append(shown)
            self._news.notify_all()
        return shown

    def _on(self, number: str, after: int) -> list[Shown]:
        return [shown for shown in self._shown[after:] if shown.number == number]

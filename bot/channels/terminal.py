"""Standard output."""

from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import count

from bot.outbox.channel import Accepted

Show = Callable[[str, str], None]
"""Takes a phone's number and the text that arrived there."""


class Terminal:
    """Shows each text as it comes; somebody is looking, so it has arrived."""

    def __init__(self, show: Show) -> None:
        self._show = show
        self._numbers = count(1)

    def send(self, to_number: str, body: str, callback_ref: str, valid_for: timedelta) -> Accepted:
        del callback_ref, valid_for
        self._show(to_number, body)
        return Accepted(f"terminal-{next(self._numbers)}")

    def look_up(
        self, to_number: str, body: str, callback_ref: str, since: datetime, known: frozenset[str]
    ) -> Accepted | None:
        """Nothing is remembered: a text whose answer was lost with the process is shown again."""
        del to_number, body, callback_ref, since, known
        return None

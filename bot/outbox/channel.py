"""What a channel must do; accepted, later, never, or nobody knows."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from bot.logs import Plain


@dataclass(frozen=True, slots=True)
class Accepted:
    """The carrier has the text; *sid* is its name for it."""

    sid: str


class NotSent(Plain):
    """The channel did not take the text."""

    def __init__(self, reason: str, code: str | None = None) -> None:
        super().__init__(reason)
        self.reason = reason
        self.code = code


class Later(NotSent):
    """It certainly did not go out, and may go later: after *retry_after* where one is named."""

    def __init__(
        self, reason: str, code: str | None = None, *, retry_after: timedelta | None = None
    ) -> None:
        super().__init__(reason, code)
        self.retry_after = retry_after


class Never(NotSent):
    """It did not go out and never will, however often it is tried."""


class Unknown(NotSent):
    """Nobody knows whether it went out: the answer was lost. Look it up before anything else."""


class Channel(Protocol):
    def send(self, to_number: str, body: str, callback_ref: str, valid_for: timedelta) -> Accepted:
        """Hand the text over. Raises Later, Never or Unknown.

        *callback_ref* comes back with every delivery report. After *valid_for* the text is
        worthless and must not be delivered any more.
        """
        ...

    def look_up(
        self, to_number: str, body: str, callback_ref: str, since: datetime, known: frozenset[str]
    ) -> Accepted | None:
        """The text handed over since *since*, or None where it certainly was not.

        A text whose sid is in *known* is another one with the same words. Raises Later where
        the question cannot be answered now.
        """
        ...

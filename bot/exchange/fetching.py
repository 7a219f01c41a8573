"""What the gateway failed to bring is asked for, and goes through the same door."""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

from bot.clock import Clock
from bot.exchange.doors import Exchange
from bot.inbox import Inbound
from bot.store.inbox import known_sids, last_arrival
from bot.store.transaction import Store


class Listed(Protocol):
    """A text as the gateway lists it; its date is the evidence (S2)."""

    @property
    def sid(self) -> str: ...
    @property
    def number(self) -> str: ...
    @property
    def body(self) -> str: ...
    @property
    def sent_at(self) -> datetime: ...


class Fetching:
    """The gateway brings a text once and forgets it; at start and every few minutes we ask."""

    def __init__(
        self,
        exchange: Exchange,
        store: Store,
        clock: Clock,
        listed: Callable[[datetime], Sequence[Listed]],
    ) -> None:
        self._exchange = exchange
        self._store = store
        self._clock = clock
        self._listed = listed
        self._asked_at: datetime | None = None

    def fetch(self) -> int:
        """Take in what has been missed, oldest first; hands back how many were new.

        Raises what asking raises: the next turn then asks for as long a time, and more.
        """
        asked_at = self._clock.now()
        listed = self._listed(self._asked_at or self._last_seen() or asked_at)
        missed = self._unseen(listed)
        for text in missed:
            self._exchange.text(
                Inbound(text.sid, text.number, text.body, asked_at, text.sent_at),
                count_strangers=False,
            )
        self._asked_at = asked_at
        return len(missed)

    def _last_seen(self) -> datetime | None:
        with self._store.read() as connection:
            return last_arrival(connection)

    def _unseen(self, listed: Sequence[Listed]) -> list[Listed]:
        with self._store.read() as connection:
            known = known_sids(connection, [text.sid for text in listed])
        return [text for text in listed if text.sid not in known]

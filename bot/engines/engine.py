"""What an engine must do: look at what is due, in time, until it is stopped."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Chore:
    """Something to be done again and again, first of all at once."""

    name: str
    every: timedelta
    do: Callable[[], object]


def _nothing_to_end() -> None:
    """Where no duty goes on for longer than a moment."""


@dataclass(frozen=True, slots=True)
class Duties:
    """What an engine wakes people for. Each of these may be called from any thread."""

    ring: Callable[[], object]
    """Rings every bell that is due."""
    next_bell_in: Callable[[], timedelta | None]
    """How long until the next bell is due; None where there is none."""
    send: Callable[[], object]
    """Sends every text that may go."""
    chores: tuple[Chore, ...] = ()
    end: Callable[[], None] = _nothing_to_end
    """Told once when the engine stops: what is in hand is finished, nothing more is begun."""


class Engine(Protocol):
    def start(self) -> None:
        """Begin. What was due while nobody looked is looked at now."""
        ...

    def wake(self) -> None:
        """There may be something to send: look without waiting for the next turn."""
        ...

    def stop(self) -> None:
        """End; what is being done is done to its end."""
        ...

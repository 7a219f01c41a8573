"""Look-back: the cases that are open, what a dipped strip judges, what has been cleared (S4)."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Case:
    """A look-back: the list of who may have been touched is a query over the record (S18)."""

    id: str
    cause: str
    subject: str
    since: datetime | None
    at: datetime
    cycles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Cleared:
    """Cycles that strips have cleared: in doubt again if those prove worthless (S4)."""

    product: str
    lot: str
    cycles: tuple[str, ...]
    strips: str = ""
    """The tag of their bottle."""
    last: datetime | None = None
    """When the last of them was dipped."""


@dataclass(frozen=True, slots=True)
class Dip:
    """A strip that is dipped and not read yet: what it judges is its container as it was then."""

    test: str
    strips: str
    lot: str
    cycle: str | None
    at: datetime
    read_until: datetime
    cycles: tuple[str, ...] = ()
    """What had been in it and was out again: a pass clears that."""
    running: tuple[str, ...] = ()
    """Those of them that were still at work: they may be put in once more."""
    in_use_by: str | None = None
    """What was in it while it was dipped: the liquid goes on weakening."""
    put_in_since: bool = True
    """Whether something has gone in since, for the same use or not; old rows may not know."""

    @property
    def clears(self) -> tuple[str, ...]:
        """What a pass clears."""
        if not self.put_in_since:
            return self.cycles
        return tuple(each for each in self.cycles if each not in self.running)

    @property
    def is_used_up(self) -> bool:
        """Whether nothing may soak on its pass."""
        return self.put_in_since or self.in_use_by is not None


@dataclass(frozen=True, slots=True)
class InDoubt:
    """What has gone by a liquid that was no good, since it was last known to be (S4, S18)."""

    since: datetime | None
    """The first of the passes that count, the last before it in each; None where one has none."""
    cycles: tuple[str, ...]
    is_here: bool
    """What is gone is not condemned, nor is what bears its tag now."""

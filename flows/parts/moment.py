"""When something is decided, and the chance that goes with it: both handed in, never fetched."""

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256


@dataclass(frozen=True, slots=True)
class Moment:
    """The time a decision is made, and a token from which ids and bell numbers are drawn.

    The token is fresh for each exchange; equal tokens draw equal numbers, so a decision can be
    replayed exactly.
    """

    now: datetime
    token: str

    def draw(self, label: str, below: int) -> int:
        """A number from 0 up to, not including, *below*; the same label draws the same one."""
        digest = sha256(f"{self.token}/{label}".encode()).digest()
        return int.from_bytes(digest[:8]) % below

    def ident(self, label: str) -> str:
        """Ten hexadecimal characters to name a new thing with."""
        return sha256(f"{self.token}/{label}".encode()).hexdigest()[:10]

    def two_digits(self, label: str, *, never: frozenset[int] = frozenset()) -> int:
        """S2: a number that proves that a certain text of ours has been read.

        From 60 to 99, so that it cannot be taken for a bath's temperature; none of *never*.
        """
        fit = [number for number in range(60, 100) if number not in never]
        return fit[self.draw(label, len(fit))]

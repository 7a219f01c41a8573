"""What a site's chlorine is made of, as it has set it: bleach or powder, and its percent."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

from flows.calculations.chlorine import bleach_percent
from flows.calculations.strength import IN_PERCENT, Impossible

_WRITTEN = re.compile(r"(bleach|powder) ([0-9]{1,3}(?:\.[0-9]{1,2})?) (%|degrees)")


@dataclass(frozen=True, slots=True)
class Source:
    """What chlorine is made of: 'bleach' or 'powder', and its percent."""

    kind: str
    percent: Fraction

    @property
    def shown(self) -> Decimal:
        """Its percent to two places, rounded down: nothing is called stronger than it is."""
        return Decimal(format(Decimal(floor(self.percent * 100)).scaleb(-2).normalize(), "f"))


def source_as_written(written: str) -> Source | None:
    """Read a site's source, as 'bleach 3.5 %', 'bleach 12 degrees' or 'powder 70 %'.

    Source: the site's own bottle; degrees as `percent_from_degrees`.
    """
    found = _WRITTEN.fullmatch(written)
    if found is None:
        return None
    exact = IN_PERCENT[found[3]](Decimal(found[2]))
    if isinstance(exact, Fraction) and found[1] == "bleach":
        exact = bleach_percent(exact)
    return None if isinstance(exact, Impossible) else Source(found[1], exact)

"""Which three digits the colours of a strip are: others soon after another strip (S10)."""

from datetime import datetime

from flows.parts.clinic import DOUBLED_WITHIN, Phone

SETS_OF_DIGITS = 3
"""The three readings are 1 2 3. For a strip soon after another on the same phone they are 4 5 6,
then 7 8 9, so that a reading that a carrier doubles cannot answer for the next strip (S10)."""


def first_of_next(phone: Phone, now: datetime) -> int:
    """The digit of a pass, for a strip that is dipped *now*."""
    return _first(phone.tests) if is_soon_after(phone, now) else 1


def first_before(phone: Phone, since: int) -> int:
    """The same of the strip that was dipped on that phone before as many as *since*."""
    return _first(phone.tests - 1 - since)


def is_soon_after(phone: Phone, now: datetime) -> bool:
    """Whether a text about the last strip on that phone may still be on its way."""
    return phone.tested_at is not None and now - phone.tested_at < DOUBLED_WITHIN


def _first(tests: int) -> int:
    return 1 + 3 * (tests % SETS_OF_DIGITS)

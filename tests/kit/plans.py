"""A clinic on a morning, for the tests that plan its day."""

from datetime import UTC, datetime

from flows.parts.events import SiteOpened
from tests.kit.talk import Talk, clinic

EARLY = datetime(2026, 3, 3, 4, 0, tzinfo=UTC)
"""07:00 of a Tuesday at the site."""


def morning(*devices: str, closes_at: str = "17:00", zone: str = "Etc/GMT-3") -> Talk:
    talk = clinic(devices=devices or ("V1",))
    talk.let(SiteOpened("s1", zone, closes_at, "en", "dmy"))
    talk.now = EARLY
    return talk

"""A clinic on a morning, for the tests that plan its day."""

from datetime import UTC, datetime, timedelta

from flows.parts.events import Released, SiteOpened
from tests.kit.talk import Talk, clinic

EARLY = datetime(2026, 3, 3, 4, 0, tzinfo=UTC)
"""07:00 of a Tuesday at the site."""


def morning(*devices: str, closes_at: str = "17:00", zone: str = "Etc/GMT-3") -> Talk:
    talk = clinic(devices=devices or ("V1",))
    talk.let(SiteOpened("s1", zone, closes_at, "en", "dmy"))
    talk.now = EARLY
    return ready(talk)


def ready(talk: Talk) -> Talk:
    """All its probes are ready for days: nothing has to be cleaned before the first patient."""
    until = talk.now + timedelta(days=9)
    for label in talk.clinic.devices:
        talk.let(Released("c0", label, f"{label}-K7P4", until, "sterile_drape"))
    return talk

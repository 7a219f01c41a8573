"""What a site has for a day, from its record: probes, and the baths that it may use."""

from datetime import timedelta

from flows.calculations.schedule import Day
from flows.parts.clinic import Clinic, Device, Standing

EXAM = timedelta(minutes=10)
"""One examination, from one patient to the next. Source: common practice, none published."""

OPENS_AT = "08:00"
"""Where nobody says otherwise. Source: common practice, none published."""


def usable_probes(clinic: Clinic) -> tuple[Device, ...]:
    """The enrolled devices that are not in quarantine. Source: the record (S13)."""
    devices = clinic.devices.values()
    return tuple(each for each in devices if each.standing is not Standing.QUARANTINED)


def day_at(clinic: Clinic, baths: int, patients: int) -> Day:
    """A day with what is at hand: one person, and at least one probe and one bath.

    *baths* are those that may take another soak (S5).

    Source: the record, and the usual figures above.
    """
    return Day(
        patients=patients,
        probes=max(1, len(usable_probes(clinic))),
        baths=max(1, baths),
        people=1,
        exam=EXAM,
    )

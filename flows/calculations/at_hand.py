"""What a site has for a day, from its record: probes, and baths that are filled and in date."""

from datetime import datetime, timedelta

from flows.calculations.schedule import Day
from flows.parts.clinic import Clinic, Container, Device, Fitness, Kind, Standing
from flows.protocols.model import CycleProtocol

EXAM = timedelta(minutes=10)
"""One examination, from one patient to the next. Source: common practice, none published."""

OPENS_AT = "08:00"
"""Where nobody says otherwise. Source: common practice, none published."""


def usable_probes(clinic: Clinic) -> tuple[Device, ...]:
    """The enrolled devices that are not in quarantine. Source: the record (S13)."""
    devices = clinic.devices.values()
    return tuple(each for each in devices if each.standing is not Standing.QUARANTINED)


def baths_in_date(clinic: Clinic, protocol: CycleProtocol, now: datetime) -> int:
    """How many filled baths of the protocol's product may be used now. Source: the record (S5)."""
    return sum(_is_usable(each, protocol, now) for each in clinic.containers.values())


def _is_usable(container: Container, protocol: CycleProtocol, now: datetime) -> bool:
    return (
        container.kind is Kind.BATH
        and container.product == protocol.chemistry.name
        and container.fitness is Fitness.GOOD
        and now < container.discard_by
    )


def day_at(clinic: Clinic, protocol: CycleProtocol, now: datetime, patients: int) -> Day:
    """A day with what is at hand: one person, and at least one probe and one bath.

    Source: the record, and the usual figures above.
    """
    return Day(
        patients=patients,
        probes=max(1, len(usable_probes(clinic))),
        baths=max(1, baths_in_date(clinic, protocol, now)),
        people=1,
        exam=EXAM,
    )

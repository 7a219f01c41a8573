"""What a site has for a day, from its record: the probes of each product and their baths."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from flows.calculations.schedule import Day
from flows.parts.clinic import Clinic, Device, Standing
from flows.protocols.model import CycleProtocol

EXAM = timedelta(minutes=10)
"""One examination, from one patient to the next. Source: common practice, none published."""

OPENS_AT = "08:00"
"""Where nobody says otherwise. Source: common practice, none published."""


@dataclass(frozen=True, slots=True)
class OneProduct:
    """The devices of a site that soak in the same disinfectant, and so can share its baths."""

    devices: tuple[Device, ...]
    protocol: CycleProtocol
    """That of the device whose bath takes most."""

    @property
    def usable(self) -> tuple[Device, ...]:
        """Those that are not in quarantine. Source: the record (S13)."""
        return tuple(each for each in self.devices if each.standing is not Standing.QUARANTINED)


def by_product(clinic: Clinic, today: Callable[[str], CycleProtocol]) -> tuple[OneProduct, ...]:
    """All devices of the site by the disinfectant that they soak in today, as enrolled.

    Source: the record, and each device's protocol of today.
    """
    groups: dict[str, list[Device]] = {}
    for device in clinic.devices.values():
        groups.setdefault(today(device.model).chemistry.name, []).append(device)
    return tuple(_one_product(devices, today) for devices in groups.values())


def _one_product(devices: list[Device], today: Callable[[str], CycleProtocol]) -> OneProduct:
    protocols = [today(model) for model in dict.fromkeys(each.model for each in devices)]
    largest = max(protocols, key=lambda each: each.device_model.bath_volume_ml)
    return OneProduct(tuple(devices), largest)


def day_at(group: OneProduct, baths: int, patients: int, unready: int = 0) -> Day:
    """A day with what is at hand: one person, and at least one probe and one bath.

    *baths* are those of this product that may take another soak (S5); *unready* of its usable
    probes are not ready when it begins (S9).

    Source: the record, and the usual figures above.
    """
    return Day(
        patients=patients,
        probes=max(1, len(group.usable)),
        baths=max(1, baths),
        people=1,
        exam=EXAM,
        unready=unready,
    )

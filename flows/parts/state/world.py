"""What the gateway and the clock make of phones, bells and soaks."""

from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

from flows.parts.clinic import Clinic, Soak
from flows.parts.events import (
    ClockStepped,
    PhoneOptedOut,
    PhoneReachable,
    Stamped,
    TextUndelivered,
)
from flows.parts.state.change import SOAK_BELLS, apply, change


@apply.register
def undelivered(event: TextUndelivered, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "phones", event.phone, reachable=False)


@apply.register
def opted_out(event: PhoneOptedOut, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "phones", event.phone, opted_out=True)


@apply.register
def reachable(event: PhoneReachable, clinic: Clinic, _: Stamped) -> Clinic:
    return change(clinic, "phones", event.phone, reachable=True, opted_out=False)


@apply.register
def clock_stepped(event: ClockStepped, clinic: Clinic, _: Stamped) -> Clinic:
    """S2: a clock that jumped ahead has not soaked anything: what runs moves along with it."""
    if event.step <= timedelta(0):
        return clinic
    bells = {
        bell.id: replace(bell, due=bell.due + event.step) if bell.kind in TIMED else bell
        for bell in clinic.bells.values()
    }
    cycles = {
        cycle.id: replace(
            cycle,
            detergent=_later(cycle.detergent, event.step),
            contact=_later(cycle.contact, event.step),
        )
        for cycle in clinic.cycles.values()
    }
    return replace(clinic, bells=MappingProxyType(bells), cycles=MappingProxyType(cycles))


TIMED = SOAK_BELLS | {"strip"}


def _later(soak: Soak | None, step: timedelta) -> Soak | None:
    return replace(soak, began=soak.began + step, due=soak.due + step) if soak else None

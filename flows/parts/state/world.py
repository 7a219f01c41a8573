"""What the gateway and the clock make of phones, bells and soaks."""

from dataclasses import replace
from datetime import datetime, timedelta
from types import MappingProxyType

from flows.parts.clinic import Clinic, Frame, Soak, Thread
from flows.parts.events import (
    ClockStepped,
    PhoneOptedOut,
    PhoneReachable,
    Stamped,
    TextUndelivered,
)
from flows.parts.state.change import SOAK_BELLS, apply, change, put
from flows.parts.state.put_back import put_back


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
def clock_stepped(event: ClockStepped, clinic: Clinic, stamped: Stamped) -> Clinic:
    """S2: a clock that jumped ahead has not soaked anything: what runs moves along with it."""
    if event.step <= timedelta(0):
        return put_back(clinic, event.step, stamped.at)
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
    threads = {each.id: _asked_later(each, event.step) for each in clinic.threads.values()}
    return replace(
        clinic,
        bells=MappingProxyType(bells),
        cycles=MappingProxyType(cycles),
        threads=MappingProxyType(threads),
    )


TIMED = SOAK_BELLS | {"strip"}


def _asked_later(thread: Thread, step: timedelta) -> Thread:
    """S4, S10: no strip has ripened in a jump of the clock, and no hands have moved."""
    frames = tuple(_remembered_later(frame, step) for frame in thread.frames)
    return replace(thread, asked_at=thread.asked_at + step, frames=frames)


MOMENTS = ("dipped", "sent", "out", "out_by", "broke")
"""What a question remembers of times that run: when a strip was dipped, and that was sent; when a
probe came out, since when that is known, and when its soak broke."""


def _remembered_later(frame: Frame, step: timedelta) -> Frame:
    for key in MOMENTS:
        if frame.memo.get(key):
            later = datetime.fromisoformat(frame.memo[key]) + step
            frame = replace(frame, memo=put(frame.memo, key, later.isoformat()))
    return frame


def _later(soak: Soak | None, step: timedelta) -> Soak | None:
    return replace(soak, began=soak.began + step, due=soak.due + step) if soak else None

"""When two moments of a walk are alike: the same questions, liquids and devices, the same so far.

Names, numbers and hours are left out; what is left of time are the few moments that decide.
"""

from collections.abc import Hashable
from datetime import datetime

from flows.catalogue import FLOWS
from flows.cycle.asking import WITH
from flows.parts.clinic import (
    Bell,
    Clinic,
    Container,
    Cycle,
    Device,
    Frame,
    Phone,
    Soak,
    Thread,
)
from flows.parts.situation import SINCE, protocol_of
from flows.rules.container_life import lasts_a_soak
from flows.rules.release import cautions_due, is_ready
from flows.rules.soak import (
    contact_time,
    is_complete,
    is_over,
    is_straight_back,
    must_measure_again,
)
from flows.rules.strip import is_usable, longest_age, may_be_tested
from flows.sign_in import holder
from flows.walk.room import Room


def likeness(room: Room) -> Hashable:
    """What tells this moment from others."""
    clinic, now = room.clinic, room.now
    return (
        tuple(sorted(_thread(room, each) for each in clinic.threads.values())),
        tuple(sorted(_cycle(clinic, each, now) for each in clinic.cycles.values())),
        tuple(_device(each, now) for each in clinic.devices.values()),
        frozenset(
            _container(clinic, each, now)
            for each in clinic.containers.values()
            if _matters(clinic, each, now)
        ),
        frozenset(_lasts(room, each) for each in clinic.containers.values()),
        any(is_usable(bottle, now) for bottle in clinic.strips.values()),
        frozenset(_bell(clinic, each, now) for each in room.bells()),
        frozenset(clinic.recalls),
        tuple(_phone(each, now) for each in clinic.phones.values()),
        tuple(cautions_due(person, now) for person in clinic.people.values()),
    )


def _label(clinic: Clinic, cycle: str | None) -> str:
    known = clinic.cycles.get(cycle or "")
    return known.device if known else ("gone" if cycle else "")


def _thread(room: Room, thread: Thread) -> tuple[str, ...]:
    clinic = room.clinic
    last = max(each.asked_at for each in clinic.threads.values() if each.phone == thread.phone)
    return (
        thread.phone,
        thread.person,
        _label(clinic, thread.cycle),
        str(thread.asked_at == last),
        str(thread.said_before),
        *(_frame(room, frame) for frame in thread.frames),
    )


ENOUGH_TO_HOLD = 2
"""S4: strips that nobody reads: two hold what they were dipped in, and more hold it no better."""

_KEPT = ("kind", "cover", "device")


def _frame(room: Room, frame: Frame) -> str:
    clinic, now, strip, memo = room.clinic, room.now, room.protocol.strip, frame.memo
    parts = [frame.flow, frame.step, str(frame.number is not None)]
    parts += [f"{key}={memo[key]}" for key in _KEPT if key in memo]
    for key in ("container", "source", WITH):
        container = clinic.containers.get(memo.get(key, ""))
        parts.append(str(_container(clinic, container, now)) if container else str(key in memo))
    parts.append(str("out" in memo))
    if frame.step == "back_in" and "broke" in memo:
        parts.append(str(is_straight_back(datetime.fromisoformat(memo["broke"]), now)))
    if frame.step in {"fill", "topped"} and memo.get(SINCE):
        since = datetime.fromisoformat(memo[SINCE])
        soaks = [each.contact for each in clinic.cycles.values() if each.contact]
        parts.append(str(sum(each.began < since for each in soaks)))
    if frame.step == "read" and "dipped" in memo:
        age = now - datetime.fromisoformat(memo["dipped"])
        parts.append(str(sum(age >= limit for limit in (strip.read_after, longest_age(strip)))))
    return "/".join(parts)


def _cycle(clinic: Clinic, cycle: Cycle, now: datetime) -> tuple[str, ...]:
    bath = clinic.containers.get(cycle.bath or "")
    protocol, celsius = protocol_of(cycle), cycle.celsius_in
    again = celsius is not None and must_measure_again(celsius, protocol)
    return (
        cycle.device,
        cycle.person,
        str(cycle.for_repair),
        ",".join(sorted(cycle.done)),
        str(_container(clinic, bath, now)) if bath else "",
        _soak(cycle, cycle.detergent, now),
        _soak(cycle, cycle.contact, now),
        str(again),
        str(contact_time(protocol, celsius)),
        str(cycle.inspect_again),
    )


def _soak(cycle: Cycle, soak: Soak | None, now: datetime) -> str:
    if soak is None:
        return ""
    protocol = protocol_of(cycle)
    done = is_complete(soak, now, contact_time(protocol, cycle.celsius_in))
    return f"{soak.rung is not None}{now >= soak.due}{done}{is_over(soak, now, protocol)}"


def _device(device: Device, now: datetime) -> tuple[object, ...]:
    return (
        device.standing,
        device.cycle is not None,
        device.use_owed,
        is_ready(device, now),
    )


def _matters(clinic: Clinic, each: Container, now: datetime) -> bool:
    """What is thrown away or out of date is gone, unless a device is in it or on its way there."""
    fit = may_be_tested(each, now)
    chosen = any(cycle.bath == each.tag for cycle in clinic.cycles.values())
    return fit or chosen or each.in_use_by is not None


def _container(clinic: Clinic, each: Container, now: datetime) -> tuple[object, ...]:
    passed = each.passed
    chosen = sorted(cycle.device for cycle in clinic.cycles.values() if cycle.bath == each.tag)
    return (
        each.kind,
        each.fitness,
        each.why,
        now < each.discard_by,
        passed is not None and now < passed.good_until,
        _label(clinic, passed.used_by) if passed else "",
        _label(clinic, each.in_use_by),
        each.no_result_on is not None,
        min(len(each.dips), ENOUGH_TO_HOLD),
        each.activated_at is not None,
        tuple(sorted(_label(clinic, cycle) for cycle in each.cycles if cycle in clinic.cycles)),
        tuple(chosen),
    )


def _lasts(room: Room, each: Container) -> tuple[object, ...]:
    """Whether what is for use at all is so to the end of a wipe, and of a soak."""
    chemistry, now = room.protocol.chemistry, room.now
    spans = (chemistry.wipe_wet_time, room.protocol.bell_after) if may_be_tested(each, now) else ()
    return (each.kind, *(lasts_a_soak(each.discard_by, span, now) for span in spans))


def _bell(clinic: Clinic, bell: Bell, now: datetime) -> tuple[object, ...]:
    thread = clinic.threads.get(bell.thread or "")
    about = thread.phone if thread else bell.cycle and _label(clinic, bell.cycle)
    return (bell.kind, bell.stage, about, bell.due <= now)


def _phone(phone: Phone, now: datetime) -> tuple[object, ...]:
    return (
        phone.reachable,
        phone.opted_out,
        holder(phone, now),
        phone.locked_until is not None and now < phone.locked_until,
        phone.wrong_pins,
    )


def step_of(thread: Thread) -> str:
    """The open question as flow/step, by its present name."""
    step = FLOWS[thread.top.flow].step(thread.top.step)
    return f"{thread.top.flow}/{step.name if step else thread.top.step}"

"""A use that is told once more: a doubled text, or the same use in other words (S7, S10, S16)."""

from collections.abc import Sequence

from flows.parts.clinic import DOUBLED_WITHIN, Device
from flows.parts.events import DeviceUsed
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.replies.patient_code import PatientCode
from flows.rules.carried import told_since_it_was_sent


def is_a_double(
    situation: Situation, device: Device, codes: Sequence[PatientCode], moment: Moment
) -> bool:
    """S10, S16: the same device, day and code again at once, or sent before it was noted."""
    said, last = {each.code for each in codes}, device.used_at
    since = told_since_it_was_sent(situation, DeviceUsed, moment)
    if said <= {each.patient for each in since if each.device == device.label}:
        return True
    if last is None or moment.now - last >= DOUBLED_WITHIN:
        return False
    same_day = situation.local_day(last) == situation.local_day(moment.now)
    return same_day and said <= set(device.uses)


def is_noted_already(device: Device, moment: Moment) -> bool:
    """S7, S16: with its patient, minutes ago; told again without one it may be that very use."""
    last = device.used_at
    is_at_once = last is not None and moment.now - last < DOUBLED_WITHIN
    return is_at_once and bool(device.uses) and device.why == "used" and device.cycle is None

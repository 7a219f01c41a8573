"""On which day a use was, whether a release stood then, and of which cleaning (S7, S16, S18)."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from flows.parts.clinic import DOUBLED_WITHIN, Device
from flows.parts.decision import Decision
from flows.parts.events import DeviceUsed, Released
from flows.parts.kept_apart import keep_said
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.day_of_use import OfBefore
from flows.replies.patient_code import PatientCode
from flows.rules.release import is_ready

ABOUT = "use/doubt/"
"""S15: what the free text of a use in doubt is about; the device stands behind it."""

_LONGEST_RELEASE = timedelta(days=2)
"""A release stands no longer than to the end of the day after."""


@dataclass(frozen=True, slots=True)
class OfWhen:
    """What a use takes with it into the record."""

    day: date
    ready: bool
    cycle: str | None
    late: bool = False


def is_owed(device: Device) -> bool:
    """S9: its cleaning has begun by asking who it was used on, and this is the answer."""
    return device.use_owed and device.cycle is not None


def of_when(situation: Situation, device: Device, told: OfBefore | None, moment: Moment) -> OfWhen:
    """S16: its day is half of the key of a look-back; what is ready today says nothing of then."""
    today = situation.local_day(moment.now)
    day = told.day if told and told.day else today
    if is_owed(device):
        return OfWhen(day, ready=True, cycle=device.last_cycle, late=True)
    if day == today:
        return OfWhen(day, is_ready(device, moment.now), device.last_cycle)
    release = _release_of(situation, device, day, moment)
    return OfWhen(day, release is not None, release.cycle if release else None, late=True)


def _release_of(
    situation: Situation, device: Device, day: date, moment: Moment
) -> Released | None:
    """The last one that stood on that day."""
    since = moment.now - (situation.local_day(moment.now) - day) - _LONGEST_RELEASE
    stood = [
        each.event
        for each in situation.past((Released,), since)
        if isinstance(each.event, Released)
        and each.event.device == device.label
        and situation.local_day(each.at) <= day <= situation.local_day(each.event.until)
    ]
    return stood[-1] if stood else None


def is_noted_of(
    situation: Situation, device: Device, codes: Sequence[PatientCode], day: date, moment: Moment
) -> bool:
    """S10: just now, of that very day."""
    past = situation.past((DeviceUsed,), moment.now - DOUBLED_WITHIN)
    noted = {
        each.event.patient
        for each in past
        if isinstance(each.event, DeviceUsed)
        and (each.event.device, each.event.day) == (device.label, day)
    }
    return {each.code for each in codes} <= noted


def told_to_contact(situation: Situation, device: str, moment: Moment) -> Decision:
    """S7: the words are kept, and somebody is told that the record may have to be put right."""
    words = typed(situation).text
    free, kept = keep_said(situation, f"{ABOUT}{device}", words, moment, codes=True)
    return Decision(events=(free,), kept=(kept,))


def noted_of(device: Device, code: str, told: OfBefore) -> Text:
    """What is said of it, where a release stood; the contact looks at that day."""
    if told.day is None:
        return say(
            "use.of_no_day",
            "Noted: {device} on patient {patient}, on which day I cannot tell. Your contact is "
            "told, to put it right. It is not ready now: {clean} {device}.",
            device=device.label,
            patient=code,
        )
    return say(
        "use.of_before",
        "Noted: {device} on patient {patient} on {day}. Your contact is told, to look at that "
        "day. It is not ready now: {clean} {device}.",
        device=device.label,
        patient=code,
        day=told.day,
    )

"""CHECK: whether a probe is ready now, and why it is not (S9)."""

from flows.calculations.check_code import code_problem, label_of
from flows.parts.clinic import Clinic, Device, Standing
from flows.parts.decision import Decision, Saying
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.typed import fold
from flows.rules.release import is_ready, may_release, why_not
from flows.use.which import which_device

NOT_READY = {
    "used": say("why.used", "used since"),
    "in_cycle": say("why.in_cycle", "being cleaned now"),
    "lapsed": say("why.lapsed", "its time is up"),
    "abandoned": say("why.abandoned", "cleaning not finished"),
    "voided": say("why.voided", "its cleaning does not count"),
    "strip_failed": say("why.strip_failed", "its disinfectant failed"),
    "found_unfit": say("why.found_unfit", "its disinfectant was no good"),
    "lot_recalled": say("why.lot_recalled", "its disinfectant is recalled"),
    "strips_recalled": say("why.strips_recalled", "its strips are recalled"),
    "figure_recalled": say("why.figure_recalled", "a figure was wrong"),
    "in_again": say("why.in_again", "it was in a bath since"),
    "moved": say("why.moved", "its soak is in doubt"),
    "another_cleaned": say("why.another_cleaned", "another was cleaned"),
    "stained": say("why.stained", "it was not clean"),
    "enrolled": say("why.enrolled", "not cleaned yet"),
    "quarantine_lifted": say("why.lifted", "not cleaned yet"),
}


def why_text(device: Device, moment: Moment) -> Text:
    """Why it is not ready, in a few words."""
    if device.standing is Standing.QUARANTINED:
        return say("why.quarantine", "in quarantine")
    return NOT_READY.get(why_not(device, moment.now), say("why.other", "clean it again"))


def check(situation: Situation, moment: Moment) -> Decision:
    """READY UNTIL, or NOT READY and why; never just what the code once was."""
    rest = typed(situation).after(1)
    device = device_named(situation)
    if device is None and rest.words:
        code = "".join(rest.words)
        if code_problem(code):
            return _not_a_code(situation)
        device = situation.clinic.devices.get(label_of(code))
        if device and device.last_code and fold(device.last_code) != fold(_shown(code)):
            return Decision(says=(Saying(_old_code(device)),))
    if device is None:
        return which_device(situation, "check")
    if awaits_release(situation.clinic, device):
        return Decision(says=(Saying(_to_be_released(device)),))
    return Decision(says=(Saying(standing(device, moment)),))


def awaits_release(clinic: Clinic, device: Device) -> bool:
    """S1: whether it is covered, and whoever has cleaned it may not release it.

    None in quarantine does, nor one that was used since.
    """
    if device.why != "in_cycle":
        return False
    asked = [
        thread.person
        for thread in clinic.threads.values()
        if thread.cycle and thread.cycle == device.cycle and thread.top.step == "sign_off"
    ]
    return any(not may_release(clinic.people.get(each)) for each in asked)


def _to_be_released(device: Device) -> Text:
    return say(
        "use.check.to_be_released",
        "{device} NOT READY yet: it is covered and waits for release. Do not use it. Whoever may "
        "release it texts {take} {device}.",
        device=device.label,
    )


def _shown(code: str) -> str:
    bare = code.replace("-", "").upper()
    return f"{bare[:-4]}-{bare[-4:]}"


def standing(device: Device, moment: Moment) -> Text:
    """How it stands now: the only thing CHECK is asked for."""
    if is_ready(device, moment.now) and device.release:
        return say(
            "use.ready",
            "{device} READY UNTIL {until}. Code {code}. Check that its cover is whole.",
            device=device.label,
            until=device.release.until,
            code=device.release.code,
        )
    if device.standing is Standing.QUARANTINED:
        return say(
            "use.check.quarantine",
            "{device} NOT READY: {reason}. Do not use it, put it aside. Look at it with your "
            "contact, who then texts {lift} {device}.",
            device=device.label,
            reason=why_text(device, moment),
        )
    return say(
        "use.check.not_ready",
        "{device} NOT READY: {reason}. Do not use it. Clean it: {clean} {device}.",
        device=device.label,
        reason=why_text(device, moment),
    )


def _old_code(device: Device) -> Text:
    return say(
        "use.old_code",
        "NOT READY: that is not the code that {device} has now. Do not use it on this code. "
        "Text {check} {device}.",
        device=device.label,
    )


def _not_a_code(situation: Situation) -> Decision:
    first = next(iter(situation.clinic.devices), "V1")
    text = say(
        "use.bad_code",
        "That is not a code of mine; look again for a slip. NOT READY until it is found. "
        "Or text {check} {device}.",
        device=first,
    )
    return Decision(says=(Saying(text),))

"""USED, CHECK, FAULT, SPILL: facts about a device, never refused (S7, S9, S13, S16)."""

from hashlib import sha256

from flows.calculations.check_code import code_problem, label_of
from flows.parts.clinic import Device, Frame, Standing
from flows.parts.decision import BACK, Decision, KeptText, Move, Next, Opening, Saying, Turn
from flows.parts.events import (
    CycleAbandoned,
    DeviceUsed,
    FaultReported,
    FreeText,
    Quarantined,
    SoakBroken,
    SpillReported,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.patient_code import PatientCode, patient_code
from flows.replies.typed import Typed, fold
from flows.rules.release import is_ready, why_not
from flows.rules.soak import lasted


def keep(about: str, words: str, moment: Moment) -> tuple[FreeText, KeptText]:
    """S15: free text enters the record as a salted hash; the words are kept where they can go."""
    salt = moment.ident(f"salt/{about}")
    digest = sha256(f"{salt}/{words}".encode()).hexdigest()
    return FreeText(about, digest), KeptText(digest, salt, words)


def which_device(situation: Situation, word: str) -> Decision:
    """A command without a device it knows: which are there, and how it is typed."""
    labels = ", ".join(list(situation.clinic.devices)[:2])
    first = next(iter(situation.clinic.devices), "V1")
    text = say(
        "use.which",
        "Which device? Here: {devices}. Like {example}.",
        devices=labels,
        example=f"{situation.vocabulary.word(word)} {first}",
    )
    return Decision(says=(Saying(text),))


# -- USED ---------------------------------------------------------------------------------------


def used(situation: Situation, moment: Moment) -> Decision:
    """S7: a use is recorded as it is said, whatever it means; it ends any release (S9)."""
    device = device_named(situation)
    if device is None:
        free, kept = keep("use", typed(situation).text, moment)
        asked = which_device(situation, "used")
        return Decision(events=(free,), says=asked.says, kept=(kept,))
    rest = typed(situation).after(1).without(device.label)
    code = patient_code(rest.words)
    if isinstance(code, PatientCode):
        return _used(situation, device, code, moment)
    return _used_without_code(situation, device, rest, moment)


def _used(situation: Situation, device: Device, code: PatientCode, moment: Moment) -> Decision:
    ready = is_ready(device, moment.now)
    cycle = device.release.cycle if device.release else None
    event = DeviceUsed(
        device.label, code.code, situation.local_day(moment.now), ready=ready, cycle=cycle
    )
    return Decision(events=(event,), says=(Saying(_noted(device, code.code, ready=ready)),))


def _noted(device: Device, code: str, *, ready: bool) -> Text:
    if ready:
        return say(
            "use.noted",
            "Noted: {device} on patient {patient}. It is not ready now. Keep it moist and begin "
            "soon: {clean} {device}.",
            device=device.label,
            patient=code,
        )
    return say(
        "use.not_ready",
        "Noted: {device} on patient {patient}. It was NOT READY then. Your contact is told now; "
        "thank you for saying it. Next: {clean} {device}.",
        device=device.label,
        patient=code,
    )


def _used_without_code(
    situation: Situation, device: Device, rest: Typed, moment: Moment
) -> Decision:
    """S7: recorded at once, code pending, and chased; the words are not kept in the record."""
    use = moment.ident("use")
    cycle = device.release.cycle if device.release else None
    event = UseWithoutCode(
        use,
        device.label,
        situation.local_day(moment.now),
        ready=is_ready(device, moment.now),
        cycle=cycle,
    )
    frame = Frame("use", "code", {"use": use, "device": device.label})
    if not rest.words:
        return Decision(events=(event,), opens=Opening((frame,)))
    free, kept = keep(f"use/{use}", " ".join(rest.words), moment)
    return Decision(events=(event, free), opens=Opening((frame,)), kept=(kept,))


def _ask_code(situation: Situation) -> Text:
    return say(
        "use.code",
        "{device} noted as used. Which patient code, from the register? Figures, like 0412. "
        "No names, please.",
        device=situation.frame.memo["device"],
    )


def _read_code(situation: Situation) -> PatientCode | NotUnderstood:
    return patient_code(typed(situation).words)


def _after_code(situation: Situation, code: PatientCode, moment: Moment) -> Decision:
    memo = situation.frame.memo
    device = situation.clinic.devices[memo["device"]]
    given = UseCodeGiven(memo["use"], device.label, code.code, situation.local_day(moment.now))
    text = say(
        "use.code.noted",
        "Noted: {device} on patient {patient}.",
        device=device.label,
        patient=code.code,
    )
    return Decision(events=(given,), says=(Saying(text),), then=BACK)


CODE = Step(
    name="code",
    asks=_ask_code,
    again=_ask_code,
    asks_brief=_ask_code,
    reads=_read_code,
    decides=_after_code,
)


# -- CHECK --------------------------------------------------------------------------------------

NOT_READY = {
    "used": say("why.used", "used since"),
    "in_cycle": say("why.in_cycle", "being cleaned now"),
    "lapsed": say("why.lapsed", "its time is up"),
    "abandoned": say("why.abandoned", "cleaning not finished"),
    "voided": say("why.voided", "its cleaning does not count"),
    "strip_failed": say("why.strip_failed", "its bath failed"),
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
    return Decision(says=(Saying(standing(device, moment)),))


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


# -- FAULT --------------------------------------------------------------------------------------


def fault(situation: Situation, moment: Moment) -> Decision:
    """S13, S3: out of use at once; a running soak is broken, a running cycle ended."""
    device = device_named(situation)
    if device is None:
        return which_device(situation, "fault")
    rest = typed(situation).after(1).without(device.label)
    kept: tuple[KeptText, ...] = ()
    free: tuple[FreeText, ...] = ()
    if rest.words:
        event, words = keep(f"fault/{device.label}", " ".join(rest.words), moment)
        free, kept = (event,), (words,)
    cycle = situation.clinic.cycles.get(device.cycle or "")
    broken = (
        (SoakBroken(cycle.id, device.label, "fault", lasted(cycle.contact, moment.now)),)
        if cycle and cycle.contact
        else ()
    )
    ended = (CycleAbandoned(cycle.id, device.label, "fault"),) if cycle else ()
    text = say(
        "use.fault",
        "{device} is out of use: quarantine. Tag it, put it aside, do not soak it. Your contact "
        "is told. Thank you for saying it.",
        device=device.label,
    )
    return Decision(
        events=(
            FaultReported(device.label, "said"),
            *free,
            *broken,
            Quarantined(device.label, "fault"),
            *ended,
        ),
        says=(Saying(text),),
        moves=_ends(situation, device),
        kept=kept,
    )


def _ends(situation: Situation, device: Device) -> tuple[Move, ...]:
    return tuple(
        Move(thread.id, Next(Turn.DONE))
        for thread in situation.clinic.threads.values()
        if device.cycle is not None and thread.cycle == device.cycle
    )


# -- SPILL and SPLASH ---------------------------------------------------------------------------


def spill(_: Situation, __: Moment) -> Decision:
    """S20: first aid at once, no question first."""
    text = say(
        "use.spill",
        "Eyes: rinse with clean water 15 min, then a doctor. Skin: wash with much water. Air the "
        "room, gloves on, soak it up. Maker's sheet rules.",
    )
    return Decision(events=(SpillReported("said"),), says=(Saying(text),))


USE = flow("use", CODE)

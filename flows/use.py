"""USED, CHECK, FAULT, SPILL: facts about a device, never refused (S7, S9, S13, S16)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from flows.calculations.check_code import code_problem, label_of
from flows.parts.clinic import Device, Frame, Standing
from flows.parts.decision import (
    BACK,
    DONE,
    Decision,
    KeptText,
    Move,
    Opening,
    Saying,
    go,
    joined,
    lacking,
)
from flows.parts.events import (
    CycleAbandoned,
    DeviceUsed,
    Event,
    FaultReported,
    FreeText,
    Quarantined,
    SoakBroken,
    SpillReported,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.parts.kept_apart import keep_said
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.by_device import by_device
from flows.replies.patient_code import PatientCode, bare_code, codes_told, patient_code
from flows.replies.typed import Typed, fold, fold_ours
from flows.rules.release import is_ready, why_not
from flows.rules.soak import lasted
from flows.rules.used_twice import is_a_double, is_noted_already


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
    return lacking(text)


# -- USED ---------------------------------------------------------------------------------------


def used(situation: Situation, moment: Moment) -> Decision:
    """S7: a use is recorded as it is said, whatever it means; it ends any release (S9)."""
    if device_named(situation) is None:
        return _of_unknown_device(situation, "used", moment)
    rest = typed(situation).after(1)
    known = {fold_ours(label): each for label, each in situation.clinic.devices.items()}
    said = by_device(rest.words, known).items()
    each = (_use_of(situation, known[one], replace(rest, words=own), moment) for one, own in said)
    return joined(each)


def _use_of(situation: Situation, device: Device, rest: Typed, moment: Moment) -> Decision:
    codes = codes_told(rest)
    if not isinstance(codes, NotUnderstood) and is_a_double(situation, device, codes, moment):
        return Decision(says=tuple(Saying(_code_noted(device, each.code)) for each in codes))
    if not rest.words and is_noted_already(device, moment):
        return Decision(says=(Saying(_another_patient(device)),))
    said = (
        _used_without_code(situation, device, rest, moment)
        if isinstance(codes, NotUnderstood)
        else _used(situation, device, codes, moment)
    )
    if _is_owed(device):
        return replace(said, moves=_answers_codes(situation, device))
    ended, moves = _cut_short(situation, device, "used", moment)
    return replace(said, events=(*said.events, *ended), moves=moves)


def _another_patient(device: Device) -> Text:
    return say(
        "use.noted_already",
        "The use of {device} on {code} is noted. Another patient since? Then text {used} "
        "{device} and that code too; without a code tell your contact.",
        device=device.label,
        code=device.uses[-1],
    )


def _of_unknown_device(situation: Situation, word: str, moment: Moment) -> Decision:
    """S7: the fact is kept and somebody told, though nobody can say yet which device it is."""
    free, kept = keep_said(situation, "unknown_device", typed(situation).text, moment, codes=True)
    asked = which_device(situation, word)
    return Decision(events=(free,), says=asked.says, kept=(kept,))


def _is_owed(device: Device) -> bool:
    """S9: its cleaning has begun by asking who it was used on, and this is the answer."""
    return device.use_owed and device.cycle is not None


def _answers_codes(situation: Situation, device: Device) -> tuple[Move, ...]:
    return tuple(Move(thread, go("cautions")) for thread in _threads_of(situation, device))


def _used(
    situation: Situation, device: Device, codes: tuple[PatientCode, ...], moment: Moment
) -> Decision:
    owed = _is_owed(device)
    ready = owed or is_ready(device, moment.now)
    day = situation.local_day(moment.now)
    events = tuple(
        DeviceUsed(device.label, each.code, day, ready=ready, cycle=device.last_cycle, late=owed)
        for each in codes
    )
    noted = _code_noted if owed else _noted if ready else _noted_not_ready
    return Decision(events, tuple(Saying(noted(device, each.code)) for each in codes))


def _noted(device: Device, code: str) -> Text:
    return say(
        "use.noted",
        "Noted: {device} on patient {patient}. It is not ready now. Keep it moist and begin "
        "soon: {clean} {device}.",
        device=device.label,
        patient=code,
    )


def _noted_not_ready(device: Device, code: str) -> Text:
    return say(
        "use.not_ready",
        "Noted: {device} on patient {patient}. It was NOT READY then. Your contact is told now; "
        "thank you for saying it. Next: {clean} {device}.",
        device=device.label,
        patient=code,
    )


def _code_noted(device: Device, code: str) -> Text:
    return say(
        "use.code.noted",
        "Noted: {device} on patient {patient}.",
        device=device.label,
        patient=code,
    )


def _used_without_code(
    situation: Situation, device: Device, rest: Typed, moment: Moment
) -> Decision:
    """S7: recorded at once, code pending, and chased; the words are not kept in the record."""
    use = moment.ident(f"use/{device.label}")
    event = UseWithoutCode(
        use,
        device.label,
        situation.local_day(moment.now),
        ready=_is_owed(device) or is_ready(device, moment.now),
        cycle=device.last_cycle,
    )
    memo = {"use": use, "device": device.label}
    if not _is_owed(device):
        memo["ready"] = "yes" if event.ready else "no"
    frame = Frame("use", "code", memo)
    if not rest.words:
        return Decision(events=(event,), opens=Opening((frame,)))
    free, kept = keep_said(situation, f"use/{use}", " ".join(rest.words), moment)
    return Decision(events=(event, free), opens=Opening((frame,)), kept=(kept,))


def _ask_code(situation: Situation) -> Text:
    return say(
        "use.code",
        "{device} noted as used. Which patient code, from the register? Figures, like 0412. "
        "No names, please.",
        device=situation.frame.memo["device"],
    )


def _read_code(situation: Situation) -> PatientCode | NotUnderstood:
    return patient_code(bare_code(typed(situation).words))


def _after_code(situation: Situation, code: PatientCode, moment: Moment) -> Decision:
    memo = situation.frame.memo
    device = situation.clinic.devices[memo["device"]]
    given = UseCodeGiven(memo["use"], device.label, code.code, situation.local_day(moment.now))
    return Decision((given,), (Saying(_how_noted(situation, moment)(device, code.code)),), BACK)


def _how_noted(situation: Situation, moment: Moment) -> Callable[[Device, str], Text]:
    """What USED with its code would have said; not where the device has been seen to meanwhile."""
    memo = situation.frame.memo
    device = situation.clinic.devices[memo["device"]]
    if device.cycle or is_ready(device, moment.now):
        return _code_noted
    return {"yes": _noted, "no": _noted_not_ready}.get(memo.get("ready", ""), _code_noted)


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
    "strip_failed": say("why.strip_failed", "its disinfectant failed"),
    "found_unfit": say("why.found_unfit", "its disinfectant was no good"),
    "lot_recalled": say("why.lot_recalled", "its disinfectant is recalled"),
    "strips_recalled": say("why.strips_recalled", "its strips are recalled"),
    "figure_recalled": say("why.figure_recalled", "a figure was wrong"),
    "in_again": say("why.in_again", "it was in a bath since"),
    "moved": say("why.moved", "its soak is in doubt"),
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


# -- FAULT --------------------------------------------------------------------------------------


def fault(situation: Situation, moment: Moment) -> Decision:
    """S13, S3: out of use at once; a running soak is broken, a running cycle ended."""
    if device_named(situation) is None:
        return _of_unknown_device(situation, "fault", moment)
    devices = situation.clinic.devices.values()
    said = typed(situation).after(1)
    named = [each for each in devices if fold_ours(each.label) in said.words]
    rest = said.without("and", *(each.label for each in named))
    return joined(_fault_of(situation, each, rest.words, moment) for each in named)


def _fault_of(
    situation: Situation, device: Device, words: tuple[str, ...], moment: Moment
) -> Decision:
    if not words:
        return quarantine(situation, device, moment)
    free, kept = keep_said(situation, f"fault/{device.label}", " ".join(words), moment)
    return quarantine(situation, device, moment, free, kept=(kept,))


def quarantine(
    situation: Situation,
    device: Device,
    moment: Moment,
    *free: FreeText,
    kept: tuple[KeptText, ...] = (),
) -> Decision:
    """S13: somebody says that it is damaged, by FAULT or in another word."""
    ended, moves = _cut_short(situation, device, "fault", moment)
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
            Quarantined(device.label, "fault"),
            *ended,
        ),
        says=(Saying(text),),
        moves=moves,
        kept=kept,
    )


def _cut_short(
    situation: Situation, device: Device, because: str, moment: Moment
) -> tuple[tuple[Event, ...], tuple[Move, ...]]:
    """S3, S8: a soak that runs is broken, and the cycle ends there: it has been contradicted."""
    cycle = situation.clinic.cycles.get(device.cycle or "")
    if cycle is None:
        return (), ()
    soaked = lasted(cycle.contact, moment.now) if cycle.contact else timedelta(0)
    broke = (SoakBroken(cycle.id, device.label, because, soaked),) if cycle.contact else ()
    moves = tuple(Move(thread, DONE) for thread in _threads_of(situation, device))
    return (*broke, CycleAbandoned(cycle.id, device.label, because)), moves


def _threads_of(situation: Situation, device: Device) -> tuple[str, ...]:
    threads = situation.clinic.threads.values()
    return tuple(each.id for each in threads if device.cycle and each.cycle == device.cycle)


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

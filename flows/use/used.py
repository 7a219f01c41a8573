"""USED V1 0412: a use is a fact, never refused, and ends any release (S7, S9, S16)."""

from collections.abc import Callable
from dataclasses import replace

from flows.parts.clinic import Device, Frame
from flows.parts.decision import BACK, Decision, Move, Opening, Saying, go, joined
from flows.parts.events import DeviceUsed, UseCodeGiven, UseWithoutCode
from flows.parts.kept_apart import keep_said
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.by_device import by_device
from flows.replies.patient_code import PatientCode, bare_code, codes_told, patient_code
from flows.replies.typed import Typed, fold_ours
from flows.rules.release import is_ready
from flows.rules.used_twice import is_a_double, is_noted_already
from flows.use.cut_short import cut_short, threads_of
from flows.use.which import of_unknown_device


def used(situation: Situation, moment: Moment) -> Decision:
    """S7: a use is recorded as it is said, whatever it means; it ends any release (S9)."""
    if device_named(situation) is None:
        return of_unknown_device(situation, "used", moment)
    rest = typed(situation).after(1)
    known = {fold_ours(label): each for label, each in situation.clinic.devices.items()}
    said = by_device(rest.words, known).items()
    each = (use_of(situation, known[one], replace(rest, words=own), moment) for one, own in said)
    return joined(each)


def use_of(situation: Situation, device: Device, rest: Typed, moment: Moment) -> Decision:
    """A use of that device on the patients whose codes *rest* holds, or on nobody knows whom."""
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
    ended, moves = cut_short(situation, device, "used", moment)
    return replace(said, events=(*said.events, *ended), moves=moves)


def _another_patient(device: Device) -> Text:
    return say(
        "use.noted_already",
        "The use of {device} on {code} is noted. Another patient since? Then text {used} "
        "{device} and that code too; without a code tell your contact.",
        device=device.label,
        code=device.uses[-1],
    )


def _is_owed(device: Device) -> bool:
    """S9: its cleaning has begun by asking who it was used on, and this is the answer."""
    return device.use_owed and device.cycle is not None


def _answers_codes(situation: Situation, device: Device) -> tuple[Move, ...]:
    return tuple(Move(thread, go("cautions")) for thread in threads_of(situation, device))


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

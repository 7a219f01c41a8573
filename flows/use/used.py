"""USED V1 0412: a use is a fact, never refused, and ends any release (S7, S9, S16)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

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
from flows.replies.day_of_use import OfBefore, day_before
from flows.replies.patient_code import PatientCode, bare_code, codes_told, patient_code
from flows.replies.typed import Typed, fold_ours
from flows.rules.release import is_ready
from flows.rules.used_twice import is_a_double, is_noted_already
from flows.use.cut_short import cut_short, threads_of
from flows.use.of_strips import use_of_strips
from flows.use.of_when import OfWhen, is_noted_of, is_owed, noted_of, of_when, told_to_contact
from flows.use.which import of_unknown_device

_BEFORE_A_PATIENT = frozenset({"ON", "FOR", "WITH"})


def used(situation: Situation, moment: Moment) -> Decision:
    """S7: a use is recorded as it is said, whatever it means; it ends any release (S9)."""
    if device_named(situation) is None:
        return use_of_strips(situation) or of_unknown_device(situation, "used", moment)
    rest = typed(situation).after(1)
    known = {fold_ours(label): each for label, each in situation.clinic.devices.items()}
    said = by_device(rest.words, known).items()
    each = (use_of(situation, known[one], replace(rest, words=own), moment) for one, own in said)
    return joined(each)


def use_of(situation: Situation, device: Device, said: Typed, moment: Moment) -> Decision:
    """A use of that device on the patients whose codes are *said*, or on nobody knows whom."""
    told = day_before(said.words, situation.local_day(moment.now))
    rest = replace(said, words=_around_no_day(told)) if told else said
    codes = codes_told(rest)
    if not isinstance(codes, NotUnderstood) and _is_a_double(
        situation, device, codes, told, moment
    ):
        return Decision(says=tuple(Saying(_code_noted(device, each.code)) for each in codes))
    if not said.words and is_noted_already(device, moment):
        return Decision(says=(Saying(_another_patient(device)),))
    use = of_when(situation, device, told, moment)
    noted = (
        _used_without_code(situation, device, rest, use, moment)
        if isinstance(codes, NotUnderstood)
        else _used(device, codes, use, told)
    )
    if is_owed(device):
        return replace(noted, moves=_answers_codes(situation, device))
    is_in_doubt = told is not None and use.ready
    doubt = told_to_contact(situation, device.label, moment) if is_in_doubt else Decision()
    ended, moves = cut_short(situation, device, "used", moment)
    return replace(
        noted,
        events=(*noted.events, *doubt.events, *ended),
        moves=moves,
        kept=(*noted.kept, *doubt.kept),
    )


def _around_no_day(told: OfBefore) -> tuple[str, ...]:
    """YESTERDAY ON 0412."""
    return tuple(word for word in told.rest if word not in _BEFORE_A_PATIENT)


def _is_a_double(
    situation: Situation,
    device: Device,
    codes: tuple[PatientCode, ...],
    told: OfBefore | None,
    moment: Moment,
) -> bool:
    if told and told.day:
        return is_noted_of(situation, device, codes, told.day, moment)
    return is_a_double(situation, device, codes, moment)


def _another_patient(device: Device) -> Text:
    return say(
        "use.noted_already",
        "The use of {device} on {code} is noted. Another patient since? Then text {used} "
        "{device} and that code too; without a code tell your contact.",
        device=device.label,
        code=device.uses[-1],
    )


def _answers_codes(situation: Situation, device: Device) -> tuple[Move, ...]:
    return tuple(Move(thread, go("cautions")) for thread in threads_of(situation, device))


def _used(
    device: Device, codes: tuple[PatientCode, ...], use: OfWhen, told: OfBefore | None
) -> Decision:
    events = tuple(
        DeviceUsed(
            device.label, each.code, use.day, ready=use.ready, cycle=use.cycle, late=use.late
        )
        for each in codes
    )
    texts = (_how_used(device, each.code, use, told) for each in codes)
    return Decision(events, tuple(map(Saying, texts)))


def _how_used(device: Device, code: str, use: OfWhen, told: OfBefore | None) -> Text:
    if is_owed(device):
        return _code_noted(device, code)
    if not use.ready:
        return _noted_not_ready(device, code)
    return noted_of(device, code, told) if told else _noted(device, code)


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
    situation: Situation, device: Device, rest: Typed, use: OfWhen, moment: Moment
) -> Decision:
    """S7: recorded at once, code pending, and chased; the words are not kept in the record."""
    ident = moment.ident(f"use/{device.label}")
    event = UseWithoutCode(ident, device.label, use.day, ready=use.ready, cycle=use.cycle)
    memo = {"use": ident, "device": device.label, "day": use.day.isoformat()}
    if not is_owed(device):
        memo["ready"] = "yes" if event.ready else "no"
    frame = Frame("use", "code", memo)
    if not rest.words:
        return Decision(events=(event,), opens=Opening((frame,)))
    free, kept = keep_said(situation, f"use/{ident}", " ".join(rest.words), moment)
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
    day = date.fromisoformat(memo["day"]) if "day" in memo else situation.local_day(moment.now)
    given = UseCodeGiven(memo["use"], device.label, code.code, day)
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

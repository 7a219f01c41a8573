"""SORRY, V2 NOT V1: a use just told, of another probe or patient after all (S7, S16).

Both are used, for all that the record knows: it takes nothing back, and somebody sorts it out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from flows.parts.clinic import DOUBLED_WITHIN
from flows.parts.decision import Decision, Saying
from flows.parts.events import DeviceUsed, Released, UseWithoutCode
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.replies.typed import Typed
from flows.use.meant import Meant, names_meant
from flows.use.of_when import told_to_contact
from flows.use.used import use_of

_OF_A_USE = frozenset({"PROBE", "DEVICE", "CODE", "PATIENT"})


@dataclass(frozen=True, slots=True)
class _Told:
    """A use that this phone has just told."""

    device: str
    codes: tuple[str, ...]
    ready: bool
    at: datetime


def use_put_right(situation: Situation, moment: Moment) -> Decision | None:
    """S7: what was meant is a use as well, of the same codes; None for any other text."""
    meant = names_meant(situation)
    uses = _just_told(situation, moment) if meant else []
    told = _of_which(uses, meant) if meant else None
    if meant is None or told is None:
        return None
    others = [each for each in meant.devices if each != told.device]
    is_one = len(others) <= 1 and len(meant.codes) <= 1 and not _is_asked_else(situation, told)
    if is_one and others and _may_be_noted(uses, others[0], told):
        return _of_another(situation, told, others[0], meant.codes, moment)
    if is_one and meant.codes and told.codes and not {*meant.codes} <= {*told.codes}:
        return _on_another(situation, told, meant.codes[0], moment)
    is_of_it = bool(others or meant.codes or meant.denied & {told.device, *told.codes})
    return _which(told, others) if is_of_it or _says_which(situation) else None


def _just_told(situation: Situation, moment: Moment) -> list[_Told]:
    """The last first; the codes of one text together."""
    past = situation.past((DeviceUsed, UseWithoutCode), moment.now - DOUBLED_WITHIN)
    uses: dict[tuple[str, datetime], _Told] = {}
    for each in past:
        use = each.event
        if each.phone != situation.phone.id or not isinstance(use, DeviceUsed | UseWithoutCode):
            continue
        codes = (use.patient,) if isinstance(use, DeviceUsed) else ()
        before = uses.get((use.device, each.at))
        told = before.codes if before else ()
        uses[use.device, each.at] = _Told(use.device, (*told, *codes), use.ready, each.at)
    return list(uses.values())[::-1]


def _of_which(uses: Sequence[_Told], meant: Meant) -> _Told | None:
    """What is denied says which of them, or that it is of none; else it is the last."""
    denied = [each for each in uses if meant.denied & {each.device, *each.codes}]
    if meant.denied:
        return denied[0] if denied else None
    return uses[0] if uses else None


def _may_be_noted(uses: Sequence[_Told], label: str, told: _Told) -> bool:
    """S16: not where it has just been used on somebody else; told once more it is a double."""
    return all(each.codes == told.codes for each in uses if each.device == label)


def _is_asked_else(situation: Situation, told: _Told) -> bool:
    """S10: what was asked since may be what it is said of."""
    asked = (each for each in situation.threads_here if each.top.flow != "use")
    released = situation.told_here((Released,), told.at)
    return bool(released) or any(each.asked_at > told.at for each in asked)


def _says_which(situation: Situation) -> bool:
    """WRONG PROBE, WRONG CODE; where something else is asked it may be of that."""
    said = {*typed(situation).words}
    return bool("WRONG" in said and said & _OF_A_USE) and not situation.threads_here


# -- what comes of it ---------------------------------------------------------------------------


def _of_another(
    situation: Situation, told: _Told, label: str, codes: tuple[str, ...], moment: Moment
) -> Decision:
    device = situation.clinic.devices[label]
    words = codes or told.codes
    used = use_of(situation, device, Typed(" ".join(words), (words,), words), moment)
    stays = say(
        "use.righted.device",
        "The use of {device} stays on the record, and it is not ready either. Your contact is "
        "told, to put the record right.",
        device=told.device,
    )
    return _with_contact_told(
        situation, told.device, replace(used, says=(*used.says, Saying(stays))), moment
    )


def _on_another(situation: Situation, told: _Told, code: str, moment: Moment) -> Decision:
    device = situation.clinic.devices[told.device]
    day = situation.local_day(told.at)
    use = DeviceUsed(device.label, code, day, ready=told.ready, cycle=device.last_cycle)
    text = say(
        "use.righted.code",
        "Noted: {device} on patient {patient}. {other} stays on the record too; your contact is "
        "told, to put the record right.",
        device=device.label,
        patient=code,
        other=told.codes[-1],
    )
    return _with_contact_told(situation, told.device, Decision((use,), (Saying(text),)), moment)


def _with_contact_told(
    situation: Situation, device: str, decided: Decision, moment: Moment
) -> Decision:
    doubt = told_to_contact(situation, device, moment)
    return replace(
        decided,
        events=(*decided.events, *doubt.events),
        kept=(*decided.kept, *doubt.kept),
    )


def _which(told: _Told, others: Sequence[str]) -> Decision:
    text = say(
        "use.righted.which",
        "Which was it? Text it as a use of its own, like {used} {device} {code}. The use of "
        "{other} that I have noted stays on the record.",
        device=(*others, told.device)[0],
        code=(*told.codes, "0412")[0],
        other=told.device,
    )
    return Decision(says=(Saying(text),))

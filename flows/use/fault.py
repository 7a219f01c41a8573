"""FAULT V1: out of use at once, whatever goes on with it (S3, S13)."""

from flows.parts.clinic import Device
from flows.parts.decision import Decision, KeptText, Saying, joined, told
from flows.parts.events import FaultReported, FreeText, Quarantined
from flows.parts.kept_apart import keep_said
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.replies.tags import tags_in
from flows.replies.typed import fold_ours
from flows.use.cut_short import cut_short
from flows.use.which import of_unknown_device, which_device


def fault(situation: Situation, moment: Moment) -> Decision:
    """S13, S3: out of use at once; a running soak is broken, a running cycle ended."""
    if device_named(situation) is None:
        return of_unknown_device(situation, "fault", moment)
    devices = situation.clinic.devices.values()
    said = typed(situation).after(1)
    named = [each for each in devices if fold_ours(each.label) in said.words]
    rest = said.without("and", *(each.label for each in named))
    return joined(_fault_of(situation, each, rest.words, moment) for each in named)


def asked_if_fault(situation: Situation) -> Decision:
    """S8: FAULT V1? tells of nothing; how to tell it is said, of what it names."""
    device, tags = device_named(situation), tags_in(typed(situation).words)
    if device is None and not tags:
        return which_device(situation, "fault")
    text = say(
        "use.fault.asked",
        "Nothing is noted. Is {subject} damaged, not good, or in doubt? Then text {fault} "
        "{subject}.",
        subject=device.label if device else next(iter(tags.values())),
    )
    return told(text)


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
    ended, moves = cut_short(situation, device, "fault", moment)
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

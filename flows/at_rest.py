"""What is told of a probe that nobody is cleaning, or of nobody knows which (S4, S9, S13, S21)."""

from dataclasses import replace
from datetime import datetime, timedelta

from flows.cycle.elsewhere import soak_disturbed
from flows.cycle.interrupt import is_said_to_be_early
from flows.parts.clinic import Container, Device, Release, Standing
from flows.parts.decision import Decision, Saying, told
from flows.parts.events import (
    BathChosen,
    CaseOpened,
    CleaningRestarted,
    CycleBegan,
    CycleVoided,
    Event,
    Immersed,
    PutInBath,
    Released,
    ReleaseWithdrawn,
)
from flows.parts.moment import Moment
from flows.parts.reading import container_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.alerts import TOLD_LATE
from flows.use import Meant, cut_short, names_meant, quarantine, standing, why_text
from flows.words import ANSWERS

LATELY = timedelta(hours=12)
"""How long ago a cleaning was begun that somebody may still go on with.
Source: common practice, none published."""

OF_A_SOAK = frozenset({"in", "out", "moved"})
"""What is said of a probe that soaks; damage and stains are seen wherever it lies."""

MISTAKEN_WITHIN = timedelta(hours=1)
"""So long after a release WRONG PROBE is of that. Source: common practice, none published."""

_OF_A_CLEANING = frozenset({"CLEANED", "COVERED", "WASHED", "DID", "DONE", "ONE", "THIS", "NAMED"})

ANOTHER = "another_cleaned"
"""Why a release lapses, where it was another probe that was cleaned."""

OUT_OF_TURN = "in_again"
"""Why a release lapses, where the probe was in a bath since."""


def told_at_rest(situation: Situation, device: Device, word: str, moment: Moment) -> Decision:
    """S7: it is true as it was said; what it contradicts is a release, or a strip (S4)."""
    if word == "damaged":
        return quarantine(situation, device, moment)
    if _is_of_before(situation, device, word):
        return told(standing(device, moment))
    lapses = _falls(situation, device, word, moment)
    bath = _which_bath(situation, device, moment) if word == "in" else None
    if bath:
        return _was_in(situation, device, bath, lapses, moment)
    return lapses if lapses.events else told(standing(device, moment))


def _which_bath(situation: Situation, device: Device, moment: Moment) -> Container | None:
    """S4: the one that is named; else that of the cleaning which has just been given up."""
    named = container_named(situation)
    if named or device.release or device.cycle:
        return named
    cycle, tag = "", ""
    for each in situation.past((CycleBegan, BathChosen), moment.now - LATELY):
        if isinstance(each.event, CycleBegan) and each.event.device == device.label:
            cycle, tag = each.event.cycle, ""
        elif isinstance(each.event, BathChosen) and each.event.cycle == cycle:
            tag = each.event.bath
    return situation.clinic.containers.get(tag)


def _is_of_before(situation: Situation, device: Device, word: str) -> bool:
    """S10: brought late by a carrier: the IN of its own soak, or news of what came before that."""
    sent, began = situation.sent_at, _began(situation, device, word)
    is_late = sent is not None and began is not None and sent < began
    return is_late and container_named(situation) is None


def _began(situation: Situation, device: Device, word: str) -> datetime | None:
    """When its last whole cleaning did, or the first soak of that, if it is told of a soak.

    A stain may have been seen before anything soaked.
    """
    cleaning: datetime | None = None
    soak: datetime | None = None
    for each in situation.history(device.last_cycle or ""):
        if isinstance(each.event, CycleBegan | CleaningRestarted):
            cleaning, soak = each.at, None
        elif isinstance(each.event, Immersed):
            soak = soak or each.at
    return soak if word in OF_A_SOAK else cleaning


def _falls(situation: Situation, device: Device, word: str, moment: Moment) -> Decision:
    """S9, S18: what is told of its last cleaning voids that, whoever it has touched since."""
    if word == "out" and not is_said_to_be_early(situation):
        return Decision()
    because = {"in": OUT_OF_TURN, "out": "moved"}.get(word, word)
    counts = word != "in" and not _is_only_asked_for(situation, device, word)
    void = _void(situation, device, because, moment) if counts else ()
    if device.release:
        lapses = _lapses(situation, device, device.release, because, moment)
        return replace(lapses, events=(*lapses.events, *void))
    is_told = bool(void) and device.why == "used"
    return Decision(void, (Saying(_after_use(device, word)),)) if is_told else Decision()


def _is_only_asked_for(situation: Situation, device: Device, word: str) -> bool:
    """AGAIN for a probe that nobody is cleaning: that it be cleaned, unless it is of before."""
    sent, history = situation.sent_at, situation.history(device.last_cycle or "")
    over = next((each.at for each in history if isinstance(each.event, Released)), None)
    return word == "again" and (sent is None or over is None or sent >= over)


def _void(situation: Situation, device: Device, because: str, moment: Moment) -> tuple[Event, ...]:
    """S18: that cleaning counts for nothing; what is in a case is looked back for already."""
    cycle, cases = device.last_cycle, situation.clinic.cases.values()
    if cycle is None or any(cycle in each.cycles for each in cases):
        return ()
    since = _began(situation, device, because)
    case = moment.ident(f"case/told/{device.label}")
    return (
        CycleVoided(cycle, device.label, because),
        CaseOpened(case, TOLD_LATE, device.label, since, (cycle,)),
    )


def _after_use(device: Device, word: str) -> Text:
    return say(
        "rest.after_use",
        "Noted: {word} for {device}, which has been used since. Your contact is told now; thank "
        "you for saying it. Next: {clean} {device}.",
        word=ANSWERS[word],
        device=device.label,
    )


def _lapses(
    situation: Situation, device: Device, release: Release, because: str, moment: Moment
) -> Decision:
    """S9: whoever has it in hand is not always who says it: every phone of the site hears it."""
    lapsed = replace(device, release=None, standing=Standing.NOT_READY, why=because)
    text = say(
        "rest.lapsed",
        "{device} is NOT READY any more: {reason}. Do not use it on a patient. Clean it again: "
        "{clean} {device}.",
        device=device.label,
        reason=why_text(lapsed, moment),
    )
    bell = f"{release.cycle}.withdrawn"
    others = [each for each in situation.clinic.phones if each != situation.phone.id]
    return Decision(
        (ReleaseWithdrawn(device.label, release.cycle, because),),
        (Saying(text), *(Saying(text, to=each, bell=bell) for each in others)),
    )


def _was_in(
    situation: Situation, device: Device, bath: Container, lapses: Decision, moment: Moment
) -> Decision:
    """S4, S21: the strip of that bath is spent, and what soaks in it is void."""
    disturbed = soak_disturbed(situation.clinic, bath, moment)
    put = PutInBath("", device.label, bath.tag, "in_use" if disturbed else "elsewhere")
    says = (Saying(_take_it_out(device, bath)), *lapses.says[1:])
    return Decision((*disturbed, put, *lapses.events), says)


def _take_it_out(device: Device, bath: Container) -> Text:
    """S13: nobody is told to clean what is out of use."""
    if device.standing is Standing.QUARANTINED:
        return say(
            "rest.was_in.quarantine",
            "Noted: {device} was put in {tag}, and that is no soak. Take it out, put it aside: "
            "quarantine. Look at it with your contact, who then texts {lift} {device}.",
            device=device.label,
            tag=bath.tag,
        )
    return say(
        "rest.was_in",
        "Noted: {device} was put in {tag}, and that is no soak. Take it out. It is NOT READY; "
        "to clean it: {clean} {device}.",
        device=device.label,
        tag=bath.tag,
    )


def disturbs(situation: Situation, bath: Container, moment: Moment) -> Decision:
    """S21: whichever probe it was, what soaks in that bath is void; its name is asked."""
    other = situation.clinic.cycles[bath.in_use_by or ""].device
    text = say(
        "rest.disturbs",
        "{tag} is in use for {other}: one probe a bath. The soak of {other} is void. Which probe "
        "is in it now? Text its name first, like {example}.",
        tag=bath.tag,
        other=other,
        example=_example(situation, other, bath),
    )
    return Decision(soak_disturbed(situation.clinic, bath, moment), (Saying(text, lacks=True),))


def _example(situation: Situation, other: str, bath: Container) -> str:
    label = next((each for each in situation.clinic.devices if each != other), other)
    return f"{label} {situation.vocabulary.word('in')} {bath.tag}"


def which_probe(example: str) -> Text:
    """S10: where more than one can be meant."""
    return say(
        "rest.which",
        "Which probe is that? I note it as soon as you text its name first, like {example}.",
        example=example,
    )


# -- the wrong probe ----------------------------------------------------------------------------


def another_was_cleaned(situation: Situation, moment: Moment) -> Decision | None:
    """S9: NOT V1, WRONG PROBE, of what is cleaned here or was just released; None of other texts.

    Nobody has cleaned V1 then, and the record of what was cleaned bears another name.
    """
    meant, words = names_meant(situation, also=_OF_A_CLEANING), {*typed(situation).words}
    if meant is None or "USED" in words:
        return None
    is_wrong = {"WRONG", "PROBE"} <= words and not meant.devices
    if situation.threads_here:
        return _another_in_hand(situation, meant, moment, is_wrong=is_wrong)
    device = _released_last(situation, moment)
    if device is None or device.release is None:
        return None
    if not (is_wrong or device.label in meant.denied):
        return None
    lapses = _lapses(situation, device, device.release, ANOTHER, moment)
    void = _void(situation, device, ANOTHER, moment)
    others = tuple(Saying(_clean_it_too(each)) for each in meant.devices)
    return replace(lapses, events=(*lapses.events, *void), says=(*lapses.says, *others))


def _another_in_hand(
    situation: Situation, meant: Meant, moment: Moment, *, is_wrong: bool
) -> Decision | None:
    """S9: of the one probe that is led here; of two NOT V1 may say which of them is answered for.

    Where the one in hand is named, the cleaning of the other ends; else its name is asked.
    """
    led = situation.cycles_on_phone
    device = situation.clinic.devices[led[0].device] if len(led) == 1 else None
    if device is None or not (is_wrong or device.label in meant.denied):
        return None
    others = [each for each in meant.devices if each != device.label]
    if len(others) != 1:
        return told(_which_is_in_hand(situation, device))
    ended, moves = cut_short(situation, device, ANOTHER, moment)
    return Decision(ended, (Saying(_begin_with_it(device, others[0])),), moves=moves)


def _which_is_in_hand(situation: Situation, device: Device) -> Text:
    other = next((each for each in situation.clinic.devices if each != device.label), "V2")
    return say(
        "rest.which_in_hand",
        "Is another probe in hand than {device}? Then nothing of this counts for {device}. Text "
        "which, like {other} NOT {device}.",
        device=device.label,
        other=other,
    )


def _begin_with_it(device: Device, other: str) -> Text:
    return say(
        "rest.another_in_hand",
        "Then {device} is not being cleaned, and nothing done counts for {other} yet. Begin with "
        "it from the start: {clean} {other}.",
        device=device.label,
        other=other,
    )


def _released_last(situation: Situation, moment: Moment) -> Device | None:
    released = situation.told_here((Released,), moment.now - MISTAKEN_WITHIN)
    return situation.clinic.devices.get(getattr(released[-1], "device", "")) if released else None


def _clean_it_too(label: str) -> Text:
    return say(
        "rest.another",
        "What was cleaned is on no record as {device}: it counts for nothing. Before the next "
        "patient: {clean} {device}.",
        device=label,
    )

"""CLEAN, TAKE, LEFT: how a cycle begins, changes hands, and is asked about."""

from dataclasses import replace

from flows.cycle.asking import COVERED, is_coached
from flows.cycle.contact_bell import time_left
from flows.parts.clinic import Cycle, Device, Frame, Standing, Thread
from flows.parts.decision import AGAIN, DONE, Decision, Move, Opening, Saying, lacking, told
from flows.parts.events import CycleBegan, CycleTaken
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.carried import told_since_it_was_sent
from flows.rules.soak import is_out


def _only(situation: Situation) -> Device | None:
    """Where a site has one device, CLEAN alone means that one."""
    words = typed(situation).words
    devices = list(situation.clinic.devices.values())
    return devices[0] if len(devices) == 1 and len(words) == 1 else None


def _which(situation: Situation, word: str) -> Decision:
    labels = list(situation.clinic.devices)
    text = say(
        "cycle.which",
        "Which device? Here: {devices}. Like {example}.",
        devices=", ".join(labels[:3]),
        example=f"{situation.vocabulary.word(word)} {labels[0] if labels else 'V1'}",
    )
    return lacking(text)


def thread_of(situation: Situation, cycle: str) -> Thread | None:
    """The conversation in which that cycle goes on."""
    threads = situation.clinic.threads.values()
    return next((thread for thread in threads if thread.cycle == cycle), None)


# -- CLEAN --------------------------------------------------------------------------------------


def clean(situation: Situation, moment: Moment) -> Decision:
    """Begin a cycle; it stores the whole protocol it is held to, deviations and all."""
    device = device_named(situation) or _only(situation)
    if device is None:
        return _which(situation, "clean")
    if device.cycle:
        return is_being_cleaned(situation, device)
    begun = told_since_it_was_sent(situation, CycleBegan, moment)
    if any(each.device == device.label for each in begun):
        return told(_begun_since(device))
    for_repair = device.standing is Standing.QUARANTINED
    protocol = situation.today(device.model)
    cycle = moment.ident("cycle")
    began = CycleBegan(
        cycle=cycle,
        device=device.label,
        level=situation.who.level,
        protocol=protocol.canonical(),
        fingerprint=protocol.fingerprint(),
        for_repair=for_repair,
    )
    says = (Saying(_repair_only(device)),) if for_repair else ()
    opens = Opening((Frame("cycle", "codes"),), cycle=cycle)
    return Decision(events=(began,), says=says, opens=opens)


def _begun_since(device: Device) -> Text:
    """S10: it would take its release away, and who sent it wanted just the cleaning it has had."""
    return say(
        "cycle.begun_since",
        "That was sent before {device} was last begun, so nothing is begun now. To clean it "
        "again, send {clean} {device} once more.",
        device=device.label,
    )


def _repair_only(device: Device) -> Text:
    return say(
        "cycle.repair_only",
        "{device} is in quarantine. This cleaning is for the repairer only and ends without a "
        "release. Cracked? Wipe it, do not soak it.",
        device=device.label,
    )


def is_being_cleaned(situation: Situation, device: Device) -> Decision:
    """By whom; and how to carry on with it."""
    thread = thread_of(situation, device.cycle or "")
    whose = situation.names.get(thread.person, "?") if thread else "?"
    text = say(
        "cycle.already",
        "{device} is being cleaned by {person}. To carry on with it yourself: {take} {device}.",
        device=device.label,
        person=whose,
    )
    return Decision(says=(Saying(text),))


# -- TAKE ---------------------------------------------------------------------------------------


def take(situation: Situation, _: Moment) -> Decision:
    """Carry on with a cycle that somebody else began, or that one began on another phone."""
    device = device_named(situation)
    if device is None:
        return _which(situation, "take")
    cycle = situation.clinic.cycles.get(device.cycle or "")
    thread = thread_of(situation, cycle.id) if cycle else None
    if cycle is None or thread is None:
        text = say(
            "cycle.take.none",
            "Nobody is cleaning {device} now. To begin: {clean} {device}.",
            device=device.label,
        )
        return Decision(says=(Saying(text),))
    return _taken(situation, cycle, thread)


def _taken(situation: Situation, cycle: Cycle, thread: Thread) -> Decision:
    taken = CycleTaken(cycle.id, cycle.device, situation.who.id, situation.phone.id)
    frames = (*_led_by(situation, cycle, thread.frames), Frame("cycle", "take_cautions"))
    return Decision(
        events=(taken,),
        says=_tells(situation, cycle, thread),
        moves=(Move(thread.id, DONE),),
        opens=Opening(frames, cycle=cycle.id),
    )


ASKED_OF_A_TAKER = frozenset({"take_cautions", "stayed"})
"""Steps that a hand-over puts before what was open; another hand-over puts them anew."""


def _led_by(situation: Situation, cycle: Cycle, frames: tuple[Frame, ...]) -> tuple[Frame, ...]:
    """S1: what brief texts would have asked with one answer, somebody coached is asked singly."""
    first, *rest = (frame for frame in frames if frame.step not in ASKED_OF_A_TAKER)
    covered = COVERED.get(first.step, ()) if is_coached(situation) else ()
    step = next((each for each in covered if each not in cycle.done), first.step)
    return (replace(first, step=step), *rest)


def _tells(situation: Situation, cycle: Cycle, thread: Thread) -> tuple[Saying, ...]:
    if thread.phone == situation.phone.id:
        return ()
    text = say(
        "cycle.taken",
        "{device} has been taken over by {person}. You need not answer for it any more.",
        device=cycle.device,
        person=situation.names.get(situation.who.id, "?"),
    )
    return (Saying(text, to=thread.phone),)


# -- LEFT ---------------------------------------------------------------------------------------


def left(situation: Situation, moment: Moment) -> Decision:
    """How long each soak on this phone still has; a bell that is due has already been rung.

    Of what is out, with its reading owed, only that is asked for (S17).
    """
    mine = situation.cycles_on_phone
    soaking = [(cycle, soak) for cycle in mine if (soak := cycle.contact or cycle.detergent)]
    if not soaking:
        text = say("cycle.left.nothing", "Nothing is soaking on this phone now.")
        return Decision(says=(Saying(text),))
    washed = {cycle.id for cycle in mine if _is_washed(cycle)}
    out = {cycle.id for cycle in mine if is_out(situation.clinic, cycle)}
    return Decision(
        says=tuple(
            Saying(
                _washed(cycle)
                if cycle.id in washed
                else time_left(situation, cycle, soak, moment.now)
            )
            for cycle, soak in soaking
            if cycle.id not in out
        ),
        moves=tuple(
            Move(thread.id, AGAIN)
            for thread in situation.clinic.threads.values()
            if thread.cycle in washed | out
        ),
    )


def _washed(cycle: Cycle) -> Text:
    return say("cycle.left.washed", "{device}: detergent time is up.", device=cycle.device)


def _is_washed(cycle: Cycle) -> bool:
    """Its detergent time is up, so that what is asked of it now says what comes next."""
    return cycle.contact is None and cycle.detergent is not None and bool(cycle.detergent.rung)

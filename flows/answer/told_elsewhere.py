"""What is told of a probe where no question of it is open: taken as said, or its name is asked."""

from dataclasses import replace

from flows.answer.doubted import has_just_said
from flows.answer.draft import Draft
from flows.answer.landing import begin, cleanings_here, open_here, proceed
from flows.answer.unclear import what_is_wrong
from flows.at_rest import OF_A_SOAK, another_was_cleaned, disturbs, told_at_rest, which_probe
from flows.catalogue import FLOWS
from flows.cycle.commands import is_being_cleaned
from flows.cycle.interrupt import WRONG_WITH_A_PROBE, told_plainly
from flows.cycle.interrupt import told_elsewhere as contradicted
from flows.parts.clinic import Device, Standing, Thread
from flows.parts.decision import Decision, Saying
from flows.parts.events import CycleBegan, CycleTaken
from flows.parts.reading import container_named
from flows.parts.text import say
from flows.replies.numbers import is_figure
from flows.replies.plainly import may_alarm
from flows.replies.typed import POLITE, Typed, fold_ours
from flows.use import standing, use_put_right
from flows.words import ANSWERS

_ANSWER_A_CLEANING = {
    slug for step in FLOWS["cycle"].steps.values() for slug in step.answers
}.difference(WRONG_WITH_A_PROBE, {"none", "unsure"})
"""What tells of no harm to a probe that is not ready anyhow."""


def told_by_name(draft: Draft, typed: Typed) -> bool:
    """S3, S7: of the probe that is named, where it is led elsewhere or by nobody; else False.

    What puts right a use or a release of just now is of that, whatever else is asked.
    """
    situation, moment = draft.situation(), draft.moment
    righted = use_put_right(situation, moment) or another_was_cleaned(situation, moment)
    if righted:
        begin(draft, righted)
        return True
    labels = {fold_ours(each): each for each in draft.clinic.devices}
    named = [labels[word] for word in typed.words if word in labels]
    if not named or any(_is_led_here(draft, each) for each in named):
        return False
    bare = typed.without(*named)
    told = told_plainly(replace(draft.situation(), typed=bare)) if len(named) == 1 else None
    if told is None:
        return _is_over(draft, named, bare) or _asked_what_is_wrong(draft, named[0], bare)
    draft.typed = bare
    _take(draft, draft.clinic.devices[named[0]], told)
    return True


def _is_over(draft: Draft, named: list[str], said: Typed) -> bool:
    """V1 COVERED, once its cleaning was given up, answers nothing: how it stands is said."""
    device = draft.clinic.devices[named[0]]
    if len(named) > 1 or device.standing is not Standing.NOT_READY or said.asks:
        return False
    words = draft.vocabulary(draft.person).words
    answers = {fold_ours(words[slug]) for slug in _ANSWER_A_CLEANING}
    told = [each for each in said.words if each not in POLITE and not is_figure(each)]
    is_answer = bool(told) and answers.issuperset(told)
    if is_answer:
        draft.say(Saying(standing(device, draft.moment)))
    return is_answer


def _asked_what_is_wrong(draft: Draft, label: str, said: Typed) -> bool:
    """S8: V1 OUT OF ORDER, V1 IN USE: it may be bad news, and nobody is left to think it noted."""
    if may_alarm(said):
        draft.say(Saying(what_is_wrong(draft, label)))
    return may_alarm(said)


def told_without_a_name(draft: Draft, digest: str) -> bool:
    """S3, S10: of the one probe that can be meant; else its name is asked. False: of none.

    Where this person has a probe in hand here, it is said of that.
    """
    told = told_plainly(draft.situation())
    if told is None or not draft.clinic.devices:
        return False
    meant, bath = _led_until_taken(draft), container_named(draft.situation())
    if _has_one_in_hand(draft):
        led = [each for each in meant if not _is_led_here(draft, each)]
        return _asked_which(draft, led, told)
    if not meant and has_just_said(draft, digest):
        return False
    meant = meant or _only_one(draft, told)
    if len(meant) == 1:
        _take(draft, draft.clinic.devices[meant[0]], told)
    elif told == "in" and bath and bath.in_use_by:
        begin(draft, disturbs(draft.situation(), bath, draft.moment))
    else:
        draft.say(Saying(which_probe(_example(draft, meant, told)), lacks=True))
    return True


def _asked_which(draft: Draft, led: list[str], told: str) -> bool:
    """S10: with another in hand here it may be said of what this phone led before."""
    if not led or told not in OF_A_SOAK:
        return False
    draft.say(Saying(which_probe(_example(draft, led, told)), lacks=True))
    return True


def _is_led_here(draft: Draft, label: str) -> bool:
    cycle = draft.clinic.devices[label].cycle
    here = open_here(draft, draft.phone, draft.person)
    return cycle is not None and any(each.cycle == cycle for each in here)


def _has_one_in_hand(draft: Draft) -> bool:
    return bool(cleanings_here(draft))


# -- which is meant -----------------------------------------------------------------------------


def _led_until_taken(draft: Draft) -> list[str]:
    """What was begun or taken on this phone, by the record's own entries, and is led elsewhere."""
    return [
        each.device
        for each in draft.clinic.cycles.values()
        if any(
            entry.phone == draft.phone and isinstance(entry.event, CycleBegan | CycleTaken)
            for entry in draft.around.history(each.id)
        )
    ]


def _only_one(draft: Draft, told: str) -> list[str]:
    """The only probe of the site; or what soaks, where it is told of such and of no other bath.

    AGAIN, and what a bottle may be too, may be said of what is asked here.
    """
    is_asked = bool(open_here(draft, draft.phone, draft.person))
    is_seen = told not in {*OF_A_SOAK, "again"}
    if len(draft.clinic.devices) == 1 and is_seen and not is_asked:
        return list(draft.clinic.devices)
    if told not in OF_A_SOAK or container_named(draft.situation()):
        return []
    return [each.device for each in draft.clinic.cycles.values() if each.contact]


def _example(draft: Draft, meant: list[str], told: str) -> str:
    first = (meant or list(draft.clinic.devices))[0]
    bath = container_named(draft.situation())
    word = draft.vocabulary(draft.person).word(told)
    return f"{first} {word} {bath.tag}" if bath else f"{first} {word}"


# -- what comes of it ---------------------------------------------------------------------------


def _take(draft: Draft, device: Device, told: str) -> None:
    threads = draft.clinic.threads.values()
    led = [each for each in threads if device.cycle and each.cycle == device.cycle]
    for thread in led:
        _take_where_it_is_led(draft, thread, device, told)
    if not led:
        begin(draft, told_at_rest(draft.situation(), device, told, draft.moment))


def _take_where_it_is_led(draft: Draft, thread: Thread, device: Device, told: str) -> None:
    """S3: as if it had been said there; whoever leads it hears that, and why."""
    words = draft.vocabulary(draft.person)
    decided = contradicted(replace(draft.situation(thread), vocabulary=words), draft.moment)
    if decided is None:
        draft.take(is_being_cleaned(draft.situation(), device))
        return
    names = draft.around.names
    noted = say(
        "told.noted",
        "Noted: {word} for {device}. {person}, who is cleaning it, is told now. Thank you for "
        "saying it.",
        word=ANSWERS[told],
        device=device.label,
        person=names.get(thread.person, "?"),
    )
    tells = say(
        "told.elsewhere",
        "{person} has just texted {word} for {device}. Please go on as my next text says:",
        person=names.get(draft.person or "", "?"),
        word=ANSWERS[told],
        device=device.label,
    )
    draft.say(Saying(noted))
    why = Saying(tells, to=thread.phone, bell=f"{device.cycle}.contradicted")
    proceed(draft, thread, replace(decided, says=(why, *decided.says)))


def of_somebody_else(draft: Draft) -> Decision | None:
    """On a shared phone: what it has just been asked is another's cycle, which may be taken."""
    others = [each for each in draft.clinic.threads.values() if each.phone == draft.phone]
    cycles = [draft.clinic.cycles[each.cycle] for each in others if each.cycle]
    if not cycles:
        return None
    device = draft.clinic.devices[cycles[-1].device]
    return is_being_cleaned(draft.situation(), device)

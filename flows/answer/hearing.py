"""What is said: a command or an answer, and to which question (S7, S10)."""

from dataclasses import replace
from typing import Any

from flows import menu
from flows.answer.addressed import addressed, device_of, meant_elsewhere, which
from flows.answer.as_asked import as_asked
from flows.answer.asked_back import asked_back, near
from flows.answer.doubted import (
    ask_if_meant,
    ask_whether,
    digest_of,
    has_just_had,
    may_be_a_double,
    too_soon,
)
from flows.answer.draft import Draft
from flows.answer.facts_told import command_of
from flows.answer.first_aid import help_first
from flows.answer.glued import unglued
from flows.answer.labels import tags_read
from flows.answer.landing import ask_again, begin, cleanings_here, lost, proceed
from flows.answer.misses import miss, offer_a_person
from flows.answer.not_noted import not_noted, out_of_turn
from flows.answer.of_neither import of_neither
from flows.answer.ringing import ring_what_is_due
from flows.answer.told_elsewhere import (
    of_somebody_else,
    told_by_name,
    told_without_a_name,
)
from flows.answer.topped import topped
from flows.answer.unclear import command_meant, is_of_no_harm, may_be_bad_news, strip_in_doubt
from flows.answer.unread import nothing_noted, nothing_noted_of_the_last
from flows.catalogue import COMMANDS, FLOWS, NEEDS_A_DEVICE
from flows.containers.discarded import said_to_be_empty
from flows.containers.other_label import label_told
from flows.containers.taken_back import taken_back
from flows.containers.which_product import named_alone
from flows.cycle.interrupt import bad_news, told_of_a_probe, told_plainly
from flows.cycle.unasked import ASK_FOR_IT, told_and_not_taken
from flows.parts.clinic import Thread
from flows.parts.decision import Saying
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.calls import asks_for_a_call
from flows.replies.choice import choose, few_words
from flows.replies.courtesy import is_courtesy
from flows.replies.typed import Typed, fold_ours
from flows.strip_test import put_right
from flows.words import ANSWERS
from flows.words import COMMANDS as COMMAND_WORDS


def listen(draft: Draft, typed: Typed) -> None:
    """Deal with one fact, command or answer of whoever is speaking."""
    command = command_of(draft, typed)
    if command == "left" and ring_what_is_due(draft):
        return
    read = tags_read(draft, typed, command)
    if isinstance(read, Text):
        draft.say(Saying(read))
        return
    draft.typed = typed = read
    rest = help_first(draft, typed, command)
    if rest is not None:
        _go_by(draft, rest, command if rest is typed else "")


def _go_by(draft: Draft, typed: Typed, command: str) -> None:
    if command:
        _obey(draft, command)
        return
    draft.typed = typed = unglued(draft, typed)
    if told_by_name(draft, typed):
        return
    thread = addressed(draft, typed)
    if thread is None:
        _no_question(draft, typed)
    elif isinstance(thread, Text):
        of_neither(draft, typed, thread)
    else:
        draft.typed = _without_label(draft, thread, typed)
        _answer(draft, thread, digest_of(typed))


def _obey(draft: Draft, command: str) -> None:
    if command in NEEDS_A_DEVICE and not draft.clinic.devices:
        text = say("hearing.no_device", "No device is enrolled here yet. Please ask your contact.")
        draft.say(Saying(text))
    else:
        begin(draft, COMMANDS[command](draft.situation(), draft.moment))


def _without_label(draft: Draft, thread: Thread, typed: Typed) -> Typed:
    if thread.cycle not in draft.clinic.cycles:
        return typed
    label = fold_ours(device_of(draft, thread))
    return typed.without(label) if len(typed.words) > 1 and label in typed.words else typed


# -- the answer ---------------------------------------------------------------------------------


def _answer(draft: Draft, thread: Thread, digest: str) -> None:
    step = FLOWS[thread.top.flow].step(thread.top.step)
    if step is None:
        lost(draft, thread)
        return
    situation = draft.situation(thread)
    value = _read(situation, step)
    if isinstance(value, NotUnderstood):
        meant = meant_elsewhere(draft, thread)
        if meant:
            _answer(draft, meant, digest)
        else:
            _missed(draft, thread, value, digest)
    elif too_soon(draft, thread, step, value):
        ask_whether(draft, thread, step)
    elif may_be_a_double(draft, thread, step, digest):
        ask_if_meant(draft, thread, step)
    else:
        draft.answer = digest
        proceed(draft, thread, step.decides(situation, value, draft.moment))


def _read(situation: Situation, step: Step) -> Any:
    """As it stands; else without what only repeats the question."""
    value, said = step.reads(situation), situation.typed
    plain = as_asked(situation, step, said) if isinstance(value, NotUnderstood) and said else None
    return step.reads(replace(situation, typed=plain)) if plain else value


def _missed(draft: Draft, thread: Thread, why: NotUnderstood, digest: str) -> None:
    if _wants_a_person(draft, thread):
        ask_again(draft, thread)
        return
    righted = put_right(draft.situation(thread), draft.moment)
    if righted:
        draft.answer = digest
        proceed(draft, thread, righted)
        return
    told = topped(draft) or taken_back(draft.situation(), draft.moment)
    if told:
        draft.answer = digest
        begin(draft, told)
        return
    if _told_of_a_probe(draft, thread, digest):
        return
    draft.happen(*told_and_not_taken(draft.situation(thread)), thread=thread)
    of_no_name = not _is_said_of_it(draft, thread) and told_without_a_name(draft, digest)
    if of_no_name or _told_of_a_label(draft, thread):
        return
    doubt = strip_in_doubt(draft, thread)
    if _is_no_miss(draft, thread, doubt):
        _put_again(draft, thread, why)
    else:
        _not_understood(draft, thread, why, doubt)


def _not_understood(draft: Draft, thread: Thread, why: NotUnderstood, doubt: Text | None) -> None:
    """Behind what may be bad news the question is put once more: it is still open."""
    miss(draft, thread, why.hint)
    unclear = may_be_bad_news(draft, thread)
    unread = None if unclear else nothing_noted(draft, thread, why)
    text = (
        doubt
        or (unclear or unread if why.hint == "near" else None)
        or not_noted(draft, thread, why)
        or asked_back(why)
        or _nearly_a_command(draft, draft.typed)
        or said_to_be_empty(draft.situation(thread))
        or unclear
        or unread
    )
    if text is not None:
        draft.say(Saying(text, thread=thread.id, question=thread.question), thread)
    if text is None or text is unclear or text is unread:
        ask_again(draft, thread)


def _put_again(draft: Draft, thread: Thread, why: NotUnderstood) -> None:
    lacks = not_noted(draft, thread, why)
    if lacks:
        draft.say(Saying(lacks, thread=thread.id, question=thread.question), thread)
        return
    early = out_of_turn(draft, thread)
    if early:
        draft.say(Saying(early), thread)
    ask_again(draft, thread)


def _told_of_a_probe(draft: Draft, thread: Thread, digest: str) -> bool:
    """S3, S10: what is wrong with a probe is taken as said; an IN of before is asked about."""
    about = _about_a_probe(draft, thread)
    if isinstance(about, Text):
        draft.say(Saying(about, lacks=True))
        return True
    situation = draft.situation(about)
    told, step = told_of_a_probe(situation), FLOWS[about.top.flow].step(about.top.step)
    if about.id != thread.id and (told == "in" or (told == "out" and _soaks(draft, about))):
        _answer(draft, about, digest)
        return True
    decided = bad_news(situation, draft.moment)
    if decided is None:
        return False
    if told == "in" and step and has_just_had(draft, about, digest):
        ask_if_meant(draft, about, step)
    else:
        draft.answer = digest
        proceed(draft, about, decided)
    return True


def _told_of_a_label(draft: Draft, thread: Thread | None) -> bool:
    """S5: an earlier date than was noted counts whatever is asked; its question stays."""
    label = label_told(draft.situation(thread), draft.moment)
    if label:
        begin(draft, label)
    return label is not None


def _is_said_of_it(draft: Draft, thread: Thread) -> bool:
    """S10: named, or IN where IN is asked for: no other can be meant than what is led here."""
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    if cycle is None or draft.typed is None:
        return False
    is_named = any(fold_ours(cycle.device) in line for line in draft.typed.lines)
    is_asked = thread.top.step in ASK_FOR_IT and told_plainly(draft.situation()) == "in"
    return is_named or is_asked


def _soaks(draft: Draft, thread: Thread) -> bool:
    return draft.clinic.cycles[thread.cycle or ""].contact is not None


def _about_a_probe(draft: Draft, thread: Thread) -> Thread | Text:
    """The conversation itself; for one that is about no probe the one that it interrupts.

    S10: where it interrupts two it is asked which is meant.
    """
    cycles = [each for each, _ in cleanings_here(draft)]
    if thread.cycle is not None or not cycles:
        return thread
    if len(cycles) > 1:
        return which(draft, cycles) if told_of_a_probe(draft.situation(thread)) else thread
    return cycles[0]


def _is_an_old_answer(draft: Draft) -> bool:
    """S10: a doubled or late answer to an earlier question is no miss, and answers nothing."""
    if draft.typed is None or len(draft.typed.words) != 1:
        return False
    words = draft.vocabulary(draft.person).words
    return draft.typed.words[0] in {fold_ours(words[slug]) for slug in ANSWERS}


_NO_SLIP = ("STILL",)
"""STILL WET is no slip of SPILL."""


def _nearly_a_command(draft: Draft, typed: Typed | None) -> Text | None:
    """S7, S20: a fact or a cry for first aid, cut short or one letter wrong, is asked back."""
    if typed is None or not typed.words:
        return None
    words = draft.vocabulary(draft.person).words
    first = typed.without(*typed.words[1:])
    if first.words[:1] == _NO_SLIP:
        return None
    meant = choose(first, {words[slug]: words[slug] for slug in COMMAND_WORDS})
    word = meant if isinstance(meant, str) else meant.near
    is_one = bool(word) and (word == words["spill"] or few_words(typed, draft.clinic.devices))
    return near(word) if is_one else None


def _is_no_miss(draft: Draft, thread: Thread, doubt: Text | None) -> bool:
    is_old = _is_an_old_answer(draft) or is_of_no_harm(draft, thread)
    return _is_courtesy(draft) or (doubt is None and is_old)


def _is_courtesy(draft: Draft) -> bool:
    """S17: thanks, a sign or one's own name is no miss: nobody is called for it."""
    said = draft.typed
    return said is not None and is_courtesy(said, draft.name, draft.our_words())


def _wants_a_person(draft: Draft, thread: Thread | None) -> bool:
    """S17: who asks to be called is not first misunderstood three times."""
    if draft.typed is None or not asks_for_a_call(draft.typed):
        return False
    offer_a_person(draft, thread)
    return True


def _no_question(draft: Draft, typed: Typed) -> None:
    """Nothing is open: a near miss of a command is asked back, the rest gets the way in."""
    if _wants_a_person(draft, None):
        return
    if _is_courtesy(draft):
        draft.say(Saying(say("hearing.courtesy", "Thank you. Nothing is asked of you now.")))
        return
    situation, moment = draft.situation(), draft.moment
    righted = put_right(situation, moment) or topped(draft) or taken_back(situation, moment)
    digest = digest_of(typed)
    if righted:
        draft.answer = digest
        begin(draft, righted)
        return
    if told_without_a_name(draft, digest) or _told_of_a_label(draft, None):
        return
    meant = (
        strip_in_doubt(draft, None)
        or _nearly_a_command(draft, typed)
        or said_to_be_empty(draft.situation())
        or named_alone(draft.situation())
        or command_meant(draft)
        or may_be_bad_news(draft, None)
        or (None if _is_an_old_answer(draft) else nothing_noted_of_the_last(draft))
    )
    if meant is not None:
        draft.say(Saying(meant))
        return
    draft.take(of_somebody_else(draft) or menu.not_understood(draft.situation()))

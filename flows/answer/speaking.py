"""A text: who is speaking, and of how many things (S7, S10, S14)."""

from dataclasses import replace

from flows import sign_in
from flows.answer.by_name import answers_by_name
from flows.answer.draft import Draft
from flows.answer.facts_told import begins_anew, told_apart
from flows.answer.hearing import listen
from flows.answer.in_part import completed, keep_what_lacks
from flows.answer.incoming import TextIn
from flows.answer.labels import devices_read
from flows.answer.landing import open_here
from flows.answer.left_over import say_what_is_left
from flows.answer.unheld import keep_unverified
from flows.cycle.interrupt import told_plainly
from flows.parts.events import NotUnderstood, PhoneOptedOut, PhoneReachable
from flows.replies.courtesy import is_courtesy, ungreeted, unsigned, without_asides
from flows.replies.typed import Typed, fold_ours
from flows.words import COMMANDS, CUT_OFF


def hear(draft: Draft, text: TextIn) -> None:
    """Deal with one text from an enrolled phone."""
    phone = draft.clinic.phones[text.phone]
    if len(text.typed.words) == 1 and text.typed.words[0] in CUT_OFF:
        draft.happen(PhoneOptedOut(phone.id))
        return
    if not phone.reachable or phone.opted_out:
        draft.happen(PhoneReachable(phone.id))
    draft.typed = said = text.typed if text.pin is None else _below_the_pin(text.typed)
    who = sign_in.holder(phone, draft.moment.now)
    if sign_in.is_locked(phone, draft.moment.now):
        keep_unverified(draft, said)
    elif who and sign_in.was_sent_before(phone, text.sent_at) and not _is_a_wrong_pin(text):
        keep_unverified(draft, said)
        draft.take(sign_in.not_of_now(draft.situation()))
    elif text.pin is not None:
        _sign_in(draft, text.pin.person, said)
    elif who is None:
        keep_unverified(draft, said)
        draft.take(sign_in.ask(draft.situation()))
    else:
        _hear_out(draft, who, said)


def _below_the_pin(typed: Typed) -> Typed:
    lines = typed.lines[1:]
    return replace(typed, lines=lines, words=tuple(word for line in lines for word in line))


def _is_a_wrong_pin(text: TextIn) -> bool:
    return text.pin is not None and text.pin.person is None


def _sign_in(draft: Draft, person: str | None, said: Typed) -> None:
    if person is None:
        draft.take(sign_in.refused(draft.situation(), draft.moment))
        keep_unverified(draft, said)
        return
    draft.person = person
    says_more = bool(said.words) and not is_courtesy(said, draft.name, draft.our_words())
    draft.take(sign_in.accepted(draft.situation(), person, hears=says_more))
    if says_more:
        _hear_out(draft, person, said)


def _hear_out(draft: Draft, who: str, said: Typed) -> None:
    draft.person = who
    ours = draft.our_words()
    words = draft.vocabulary(who).words
    commands = {fold_ours(words[slug]) for slug in COMMANDS}
    bare = without_asides(ungreeted(unsigned(said, draft.name, ours), commands, ours))
    _listen_to_each(draft, bare)


def _listen_to_each(draft: Draft, typed: Typed) -> None:
    """S7, S10: one fact after the other; an answer beside them only to what was asked."""
    typed = completed(draft, typed)
    is_unclear = False
    asked, token = open_here(draft, draft.phone, draft.person)[:1], draft.moment.token
    for count, each in enumerate(told_apart(draft, devices_read(draft, typed))):
        still = open_here(draft, draft.phone, draft.person)[:1]
        is_past = is_unclear or (still != asked and not answers_by_name(draft, each))
        if count and is_past and not (begins_anew(draft, each) or _is_out_early(draft, each)):
            continue
        draft.moment = replace(draft.moment, token=f"{token}/{count}" if count else token)
        draft.typed, draft.answer, said_before = each, "", len(draft.says)
        happened_before = len(draft.events)
        listen(draft, each)
        say_what_is_left(draft, each, happened_before, said_before)
        is_unclear = is_unclear or _is_nothing_taken(draft, happened_before, said_before)
        keep_what_lacks(draft, each, said_before)


def _is_out_early(draft: Draft, typed: Typed) -> bool:
    """S3: OUT before the bell of the one that soaks here only makes it worse."""
    asked = open_here(draft, draft.phone, draft.person)[:1]
    cycles = [draft.clinic.cycles.get(each.cycle or "") for each in asked]
    soaks = [each.contact for each in cycles if each and each.contact]
    is_early = any(each.rung is None for each in soaks)
    return is_early and told_plainly(replace(draft.situation(), typed=typed)) == "out"


def _is_nothing_taken(draft: Draft, happened_before: int, said_before: int) -> bool:
    """Whether it may be bad news that is only asked back: then no answer beside it is taken."""
    happened = draft.events[happened_before:]
    is_asked_back = any(each.text.slug.startswith("told.un") for each in draft.says[said_before:])
    is_missed = bool(happened) or is_asked_back
    return is_missed and all(isinstance(each, NotUnderstood) for each in happened)

"""What comes from a shared phone that is locked, or that nobody has signed in on (S7, S14)."""

from dataclasses import replace
from functools import partial

from flows.answer.draft import Draft
from flows.answer.facts_told import command_of, told_apart
from flows.answer.labels import devices_read
from flows.answer.landing import proceed
from flows.catalogue import FACTS, FIRST_AID, FLOWS
from flows.cycle.broken import clean_again
from flows.cycle.interrupt import told_of_a_probe
from flows.cycle.unasked import told_and_not_taken
from flows.parts.clinic import Thread
from flows.parts.decision import Saying
from flows.parts.events import UnverifiedFact
from flows.parts.kept_apart import keep
from flows.parts.state.dips import is_to_be_read
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.courtesy import HARMLESS
from flows.replies.hurt import hurts
from flows.replies.number_and_pin import masked_but_code
from flows.replies.tags import tags_in
from flows.replies.typed import Typed, fold_ours
from flows.use import spill
from flows.words import ANSWERS

_OF_A_SOAK = {"in": "second_in", "out": "early_out", "moved": "moved"}
"""What can only break a soak, and why it is broken then."""

_OF_WHAT_IT_IS = frozenset({"damaged", "stained"})


def keep_unverified(draft: Draft, typed: Typed) -> None:
    """S7: a fact from nobody in particular is kept, alerts, and reveals nothing.

    S3: what may have disturbed a soak that this phone leads breaks it: that is the safe side.
    S20: a splash is answered whoever it is: first aid is no secret.
    """
    for each in told_apart(draft, devices_read(draft, typed)):
        draft.typed = each
        command = command_of(draft, each)
        if command in FIRST_AID or hurts(each, command):
            draft.take(spill(draft.situation(), draft.moment))
            if command not in FACTS - FIRST_AID:
                continue
        _note_what_was_in(draft, each)
        about = _told(draft, each, command)
        if about:
            free, kept = keep("unverified", _without_pin(draft, typed), draft.moment)
            draft.happen(UnverifiedFact(draft.phone, about, free.digest))
            draft.kept.append(kept)
            _break(draft, each, about)


def _without_pin(draft: Draft, typed: Typed) -> str:
    """S14: what may be number and PIN is not kept, wherever it stands."""
    used = draft.vocabulary(None).word("used")
    return masked_but_code(typed.text, fold_ours(used), sorted(_labels(draft)))


def _told(draft: Draft, typed: Typed, command: str) -> str:
    """What it tells, in a word or by a name; empty for an answer, a question and most commands."""
    if command:
        return command if command in {*FACTS, "discard"} else ""
    if typed.asks or not typed.words:
        return ""
    if _names(draft, typed, "topped"):
        return "topped"
    return _of_a_probe(draft, typed) or _of_anything_else(draft, typed)


def _of_a_probe(draft: Draft, typed: Typed) -> str:
    """An IN or OUT that its own question waits for is asked for again of whoever signs in."""
    told = told_of_a_probe(draft.situation()) or ""
    if told not in _OF_A_SOAK:
        return told if told in _OF_WHAT_IT_IS else ""
    named = [each for each in draft.clinic.devices if fold_ours(each) in typed.words]
    waited_for = any(map(partial(_is_waited_for, draft, told), named))
    return told if _soaks_here(draft, typed) or (named and not waited_for) else ""


def _is_waited_for(draft: Draft, told: str, label: str) -> bool:
    cycle = draft.clinic.cycles.get(draft.clinic.devices[label].cycle or "")
    if cycle is None or told == "in":
        return cycle is not None
    return cycle.contact is not None and cycle.contact.rung is not None


def _of_anything_else(draft: Draft, typed: Typed) -> str:
    if _is_a_strip_that_failed(draft):
        return "strip"
    return _what_it_is_news_of(draft, typed)


def _names(draft: Draft, typed: Typed, slug: str) -> bool:
    return fold_ours(draft.vocabulary(None).word(slug)) in typed.words


def _labels(draft: Draft) -> set[str]:
    return set(map(fold_ours, draft.clinic.devices))


def _what_it_is_news_of(draft: Draft, typed: Typed) -> str:
    """A probe or a container that is told of by its name, not as an answer begins; else empty."""
    clinic = draft.clinic
    tags = tags_in(typed.words).values()
    names = {word for word in typed.words if word in _labels(draft)} | {*tags}
    here = [*clinic.devices, *clinic.containers, *clinic.strips]
    known = [each for each in here if fold_ours(each) in names]
    bare = [word for word in typed.words if word not in names][:1]
    first = replace(typed, words=tuple(bare))
    is_asked_for = any(_names(draft, first, slug) for slug in ANSWERS)
    is_harmless = HARMLESS.issuperset(word for word in typed.words if word not in names)
    return known[0] if known and bare and not is_asked_for and not is_harmless else ""


def _is_a_strip_that_failed(draft: Draft) -> bool:
    for thread in draft.clinic.threads.values():
        if thread.phone == draft.phone and is_to_be_read(thread):
            step = FLOWS[thread.top.flow].steps[thread.top.step]
            seen = step.reads(draft.situation(thread))
            if not isinstance(seen, NotUnderstood) and seen != "pass":
                return True
    return False


# -- a soak -------------------------------------------------------------------------------------


def _soaks_here(draft: Draft, typed: Typed) -> list[Thread]:
    """The conversations of this phone whose probe soaks; only that of the probe that is named.

    Once its bell has rung an OUT is an answer, and asked for again of whoever signs in.
    """
    named = _labels(draft) & set(typed.words)
    led = [
        (thread, draft.clinic.cycles.get(thread.cycle or ""))
        for thread in draft.clinic.threads.values()
        if thread.phone == draft.phone
    ]
    return [
        thread
        for thread, cycle in led
        if cycle
        and cycle.contact
        and not cycle.contact.rung
        and (not named or fold_ours(cycle.device) in named)
    ]


def _break(draft: Draft, typed: Typed, about: str) -> None:
    if about not in _OF_A_SOAK:
        return
    for thread in _soaks_here(draft, typed):
        because = _OF_A_SOAK[about]
        decided = clean_again(draft.situation(thread), because, draft.moment)
        device = draft.clinic.cycles[thread.cycle or ""].device
        proceed(draft, thread, replace(decided, says=(Saying(_why(about, device)),)))


def _note_what_was_in(draft: Draft, typed: Typed) -> None:
    """S4: IN where this phone is asked for it has used the strip, whoever says so."""
    named = _labels(draft) & set(typed.words)
    for thread in [*draft.clinic.threads.values()]:
        cycle = draft.clinic.cycles.get(thread.cycle or "")
        is_meant = cycle and (not named or fold_ours(cycle.device) in named)
        if thread.phone == draft.phone and is_meant:
            draft.happen(*told_and_not_taken(draft.situation(thread)), thread=thread)


def _why(about: str, device: str) -> Text:
    return say(
        "unheld.broken",
        "{word} was texted for {device} here while nobody was signed in: its soak does not count. "
        "Please go on as my next text says:",
        word=ANSWERS[about],
        device=device,
    )

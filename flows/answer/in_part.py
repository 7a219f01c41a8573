"""What was said without a name, and the name that comes next: heard as one text (S7, S10)."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from flows.answer.draft import Draft
from flows.answer.facts_told import command_of
from flows.answer.labels import by_label
from flows.answer.landing import open_here
from flows.catalogue import FLOWS
from flows.parts.events import SaidInPart
from flows.parts.said import InPart
from flows.replies import NotUnderstood
from flows.replies.number_and_pin import masked_pair
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold_ours
from flows.strip_test import may_be_put_right

COMPLETED_WITHIN = timedelta(minutes=10)
"""For so long a name alone belongs to what lacked it. Source: common practice, none published."""

_OF_A_NUMBER = frozenset({"mix", "plan"})
"""Commands that lack no name but a number."""

_UNITS = frozenset({"L", "ML", "C", "F"})
_BESIDE = POLITE | {"IT", "IS", "IT'S", "ITS", "THE", "PROBE", "FOR", "OF", "AND"}
"""What people say around a name that is asked for; it changes nothing."""


def keep_what_lacks(draft: Draft, typed: Typed, said_before: int) -> None:
    """Remember what has just been answered by asking for the name it is about.

    With a word that is not ours it is not kept: to hear OUT without LATE would be to hear less
    than was said.
    """
    lacks = any(each.lacks for each in draft.says[said_before:])
    if lacks and draft.person:
        sent_at = draft.sent_at or draft.moment.now
        draft.happen(SaidInPart(draft.phone, draft.person, _kept(draft, typed), sent_at))


def _kept(draft: Draft, typed: Typed) -> tuple[str, ...]:
    """S14: none of it either where one of its numbers may be a PIN."""
    words = tuple(word for word in typed.words if word not in _BESIDE)
    said = " ".join(words)
    may_hold_a_pin = draft.clinic.phones[draft.phone].shared and masked_pair(said) != said
    return () if typed.asks or may_hold_a_pin or not _is_ours(draft, words) else words


def _is_ours(draft: Draft, words: Sequence[str]) -> bool:
    known = draft.our_words() | _UNITS
    return all(word in known or _is_a_number(word) or TAG.fullmatch(word) for word in words)


def _is_a_number(word: str) -> bool:
    return word.replace(".", "").replace(",", "").isdecimal()


def completed(draft: Draft, typed: Typed) -> Typed:
    """V1, behind USED, is USED V1; it was told when its first part was (S3).

    What was asked since is asked of the next text, and a number that is asked for is an answer.
    """
    part = _asked_last(draft)
    if part is None or typed.asks or not typed.words:
        return typed
    whole = _joined(draft, part, typed)
    if whole is None:
        return typed
    draft.happen(SaidInPart(draft.phone, part.person, (), part.sent_at))
    draft.sent_at = min(draft.sent_at or draft.moment.now, part.sent_at)
    return replace(typed, text=" ".join(whole), lines=(whole,), words=whole)


def _asked_last(draft: Draft) -> InPart | None:
    part = draft.clinic.phones[draft.phone].in_part
    if part is None or part.person != draft.person:
        return None
    if draft.moment.now - part.at > COMPLETED_WITHIN:
        return None
    asked = open_here(draft, draft.phone, draft.person)
    return None if any(each.asked_at > part.at for each in asked) else part


def _joined(draft: Draft, part: InPart, typed: Typed) -> tuple[str, ...] | None:
    command = command_of(draft, replace(typed, words=part.words))
    if command in _OF_A_NUMBER:
        return (*part.words, *typed.words) if _is_counted(draft, typed) else None
    told = _names_alone(draft, typed)
    if told is None:
        return None
    return (*part.words, *told) if command else (told[0], *part.words, *told[1:])


def _is_counted(draft: Draft, typed: Typed) -> bool:
    """12, or 2 L, that answers no question here, and may put right no strip (S4)."""
    if not typed.words[0][0].isdecimal() or may_be_put_right(draft.situation(), draft.moment):
        return False
    asked = open_here(draft, draft.phone, draft.person)[:1]
    steps = [(each, FLOWS[each.top.flow].step(each.top.step)) for each in asked]
    taken = (step and step.reads(draft.situation(thread)) for thread, step in steps)
    return all(isinstance(each, NotUnderstood) for each in taken)


def _names_alone(draft: Draft, typed: Typed) -> tuple[str, ...] | None:
    """Its names as they are on labels here, and numbers; None with any other word."""
    labels = [*map(fold_ours, draft.clinic.devices)]
    words = [each for each in by_label(typed.words, labels, codes=True) if each not in _BESIDE]
    tags = {*map(fold_ours, (*draft.clinic.containers, *draft.clinic.strips))}
    read = [tag[1] if (tag := TAG.fullmatch(each)) and tag[1] in tags else each for each in words]
    is_named = bool(read) and read[0] in {*labels, *tags}
    known = all(each in labels or each in tags or _is_a_number(each) for each in read)
    return tuple(read) if is_named and known else None

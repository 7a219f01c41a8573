"""To which open question a text goes (S7, S10)."""

import re

from flows.answer.draft import Draft
from flows.answer.glued import LOTS
from flows.answer.landing import open_here
from flows.catalogue import FLOWS
from flows.cycle.interrupt import told_of_a_probe
from flows.parts.clinic import Thread
from flows.parts.state.dips import is_to_be_read
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.lots import NAMED
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import Typed, fold_ours
from flows.strip_test.said_with_dip import Dipped

_LIKE_A_LOT = re.compile("([A-Z]{1,4})[0-9]{3,8}")


def addressed(draft: Draft, typed: Typed) -> Thread | Text | None:
    """S10: with two cycles open on a phone an answer names its device or bears its number.

    What is dipped may be named by its tag instead, where one question asks for just that.
    """
    mine = open_here(draft, draft.phone, draft.person)
    cycles = _cycles(draft, mine)
    named = [thread for thread in cycles if fold_ours(device_of(draft, thread)) in typed.words]
    is_in = told_of_a_probe(draft.situation()) == "in"
    borne = {thread.id: _asked(thread) if is_in else _numbers(draft, thread) for thread in cycles}
    numbered = [thread for thread in cycles if borne[thread.id] & set(typed.words)]
    meant = named or numbered or [each for each in cycles if _is_its_strip(draft, each, typed)]
    if len(meant) == 1:
        return meant[0]
    if len(cycles) > 1 and (mine[0] in cycles or _is_past_the_front(draft, mine)):
        return which(draft, cycles)
    return mine[0] if mine else None


def _is_past_the_front(draft: Draft, mine: list[Thread]) -> bool:
    """UNDER, where a pour is asked about in front of two cleanings: it is of one of those."""
    if not isinstance(_read(draft, mine[0]), NotUnderstood):
        return False
    takes = [each for each in mine if _takes(draft, each)]
    return bool(takes) and all(each.top.flow == "cycle" for each in takes)


def which(draft: Draft, cycles: list[Thread]) -> Text:
    """S10: which of them is meant; where the text names both, or none, nothing of it is noted."""
    first, second = (device_of(draft, thread) for thread in cycles[:2])
    example = f"{first} ... / {second} ..."
    if _is_of_more_than_one(draft):
        return say(
            "hearing.one_each",
            "Two devices are in hand. Nothing is noted yet: one text for each, its name first, "
            "like {example}.",
            example=example,
        )
    return say(
        "hearing.which",
        "Two devices are in hand. Which one? Put its name first, like {example}.",
        example=example,
    )


def _is_of_more_than_one(draft: Draft) -> bool:
    said = draft.typed.words if draft.typed else ()
    labels = set(map(fold_ours, draft.clinic.devices))
    return len(labels.intersection(said)) > 1 or "BOTH" in said


def device_of(draft: Draft, thread: Thread) -> str:
    """The label of the device that is cleaned in it."""
    return draft.clinic.cycles[thread.cycle or ""].device


def _cycles(draft: Draft, threads: list[Thread]) -> list[Thread]:
    return [thread for thread in threads if thread.cycle in draft.clinic.cycles]


def _asked(thread: Thread) -> set[str]:
    """The number that its question asks for; of an IN no other: the rest may be a temperature."""
    return {str(thread.number)} if thread.number else set()


def _numbers(draft: Draft, thread: Thread) -> set[str]:
    cycle = draft.clinic.cycles[thread.cycle or ""]
    soaks = [soak.number for soak in (cycle.contact, cycle.detergent) if soak]
    return _asked(thread) | {str(number) for number in soaks}


def _is_its_strip(draft: Draft, thread: Thread, typed: Typed) -> bool:
    """S4: DIP T1, or T1 1, where a strip of T1 is asked for."""
    tag = thread.top.memo.get("container", "")
    is_named = thread.top.flow == "strip_test" and tag in tags_in(typed.words).values()
    return is_named and not isinstance(_read(draft, thread), NotUnderstood)


def meant_elsewhere(draft: Draft, thread: Thread) -> Thread | None:
    """S4, S10: the one other question that can take it: of a strip, or by a word it asks for.

    What was asked since does not take it, and a strip is dipped and read in its time or in vain.
    What is no word might be anything, but for a plain lot; of two cleanings neither is meant.
    """
    mine = open_here(draft, draft.phone, draft.person)
    is_clear = len(_cycles(draft, mine)) == 1
    others = [
        each
        for each in mine
        if each.id != thread.id and (is_clear or each.top.flow != "cycle") and _takes(draft, each)
    ]
    return others[0] if len(others) == 1 else None


def _takes(draft: Draft, thread: Thread) -> bool:
    step = FLOWS[thread.top.flow].step(thread.top.step)
    value = _read(draft, thread)
    if step is None or isinstance(value, NotUnderstood):
        return False
    if step.name in LOTS and _is_plainly_a_lot(draft):
        return True
    return is_to_be_read(thread) or isinstance(value, Dipped) or value in step.answers


def _is_plainly_a_lot(draft: Draft) -> bool:
    """S18: LOT L7, or a word like D4417: as printed, and no slip of OUT 84."""
    said = draft.typed.words if draft.typed else ()
    if len(said) != 1 or TAG.fullmatch(said[0]):
        return said[:1] == (NAMED,)
    found = _LIKE_A_LOT.fullmatch(said[0])
    return found is not None and not any(
        len(found[1]) > 1 and word.startswith(found[1]) for word in draft.our_words()
    )


def _read(draft: Draft, thread: Thread) -> object:
    step = FLOWS[thread.top.flow].step(thread.top.step)
    return step.reads(draft.situation(thread)) if step else NotUnderstood("word")

"""OUT84, V1OUT84, RINSED89: a word of ours that is written on to what it bears (S2, S18)."""

import re
from dataclasses import replace

from flows.answer.draft import Draft
from flows.answer.landing import open_here
from flows.parts.clinic import Cycle
from flows.replies.typed import Typed, fold_ours

LOTS = frozenset({"jug_lot", "strips_lot"})
"""Steps whose answer may be any word with a figure in it, so that OUT84 would be a lot."""


def unglued(draft: Draft, typed: Typed) -> Typed:
    """The same text with that word apart, where a soak of this phone waits for it.

    Where something soaks and a lot is asked for, IN22 and 0UT are no lot either: a lot that no
    maker has printed is never recalled, and the soak would stand.
    """
    here = open_here(draft, draft.phone, draft.person)
    cycles = [each for thread in here if (each := draft.clinic.cycles.get(thread.cycle or ""))]
    soaks = [soak for each in cycles for soak in (each.contact, each.detergent) if soak]
    numbers = {str(soak.number) for soak in soaks} | {str(thread.number) for thread in here}
    is_a_lot = bool(here) and here[0].top.step in LOTS
    is_close = is_a_lot and any(each.contact for each in cycles)
    words = (_apart(draft, word, cycles, numbers, is_close=is_close) for word in typed.words)
    return replace(typed, words=tuple(part for parts in words for part in parts))


def _apart(
    draft: Draft, word: str, cycles: list[Cycle], numbers: set[str], *, is_close: bool
) -> tuple[str, ...]:
    words = draft.vocabulary(draft.person).words
    said = {fold_ours(words[slug]) for slug in ("in", "out", "rinsed")}
    labels = "|".join(re.escape(fold_ours(each.device)) for each in cycles)
    named = f"({labels})?" if labels else "()"
    found = re.fullmatch(rf"{named}([A-Z0]+?)-?([1-9][0-9]*(?:[.,][0-9])?)?", word)
    if not found or found[2].replace("0", "O") not in said:
        return (word,)
    if not is_close and found[3] not in numbers:
        return (word,)
    return tuple(part for part in (found[1], found[2].replace("0", "O"), found[3]) if part)

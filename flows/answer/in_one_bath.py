"""V1 AND V2 IN T1 23, IN 95 23 WITH V2: two probes in one bath, told in one text (S4, S21).

It is heard as an IN of each, with the bath that is asked for where none is named: what lies beside
a probe in its bath was in it too, and its soak is void.
"""

from dataclasses import replace
from itertools import pairwise

from flows.answer.as_it_stands import soaks_in
from flows.answer.draft import Draft
from flows.answer.landing import cleanings_here
from flows.cycle.interrupt import told_plainly
from flows.cycle.unasked import ASK_FOR_IT
from flows.parts.clinic import Cycle, Thread
from flows.replies.tags import VESSEL
from flows.replies.typed import Typed, fold_ours

Words = tuple[str, ...]

_JOIN = frozenset({"AND", "WITH", "BOTH", "TOO", "ALSO", "TOGETHER"})
_BESIDE_IT = "WITH"
_IN_ONE = frozenset({_BESIDE_IT, "TOGETHER"})


def in_one_bath(draft: Draft, words: Words) -> list[Words] | None:
    """The same text as an IN of each probe that it tells of; None where it tells of no other."""
    bare = tuple(each for each in words if each not in _labels(draft) | _JOIN)
    word = fold_ours(draft.vocabulary(draft.person).word("in"))
    if bare.count(word) != 1 or not _is_told_plainly(draft, bare):
        return None
    named = {each for each in bare if VESSEL.fullmatch(each)}
    asked, said = _asked(draft), _probes(draft, words)
    probes = said if named else _without_those_that_soak(draft, words, said)
    baths = named or {fold_ours(cycle.bath) for _, cycle in asked if cycle.bath}
    led = [fold_ours(cycle.device) for _, cycle in cleanings_here(draft)]
    is_another = not {*probes} <= {*led} and not named and _answers(draft, asked, bare)
    if len(baths) != 1 or not probes or not (len(said) > 1 or is_another):
        return None
    return _of_each(word, bare, baths.pop(), probes, asked)


def _of_each(
    word: str, bare: Words, bath: str, probes: list[str], asked: list[tuple[Thread, Cycle]]
) -> list[Words]:
    """Number and reading belong to the one that was asked for them, which comes first."""
    mine = [
        fold_ours(cycle.device)
        for thread, cycle in asked
        if thread.number is None or f"{thread.number:02d}" in bare
    ]
    first = next((each for each in probes if each in mine), "")
    whole = bare if bath in bare else (*bare, bath)
    others: list[Words] = [(each, word, bath) for each in probes if each != first]
    return [(first, *whole), *others] if first else others


def _probes(draft: Draft, words: Words) -> list[str]:
    """Those that are named together; with BOTH or WITH those in hand here belong to them."""
    labels = _labels(draft)
    named = [each for each in dict.fromkeys(words) if each in labels]
    led = [fold_ours(cycle.device) for _, cycle in cleanings_here(draft)]
    is_beside = any(a == _BESIDE_IT and b in labels for a, b in pairwise(words))
    if len(named) == 1 and is_beside:
        asked = [fold_ours(cycle.device) for _, cycle in _asked(draft)]
        return [*dict.fromkeys([*asked, *named])] if len(asked) == 1 else []
    if not named and "BOTH" in words:
        return led
    joined = not _JOIN.isdisjoint(words) or any({a, b} <= labels for a, b in pairwise(words))
    return named if joined or len(named) == 1 else []


def _without_those_that_soak(draft: Draft, words: Words, probes: list[str]) -> list[str]:
    """BOTH IN says of what soaks in a bath of its own what is known; IN WITH V2 does not."""
    if not _IN_ONE.isdisjoint(words):
        return probes
    return [each for each in probes if not soaks_in(draft, each)]


def _answers(draft: Draft, asked: list[tuple[Thread, Cycle]], bare: Words) -> bool:
    """Whether it answers a question of this phone, by its number if that has one.

    S10: what was sent before that may be the IN of its own soak.
    """
    sent = draft.situation().sent_at or draft.moment.now
    return any(
        sent >= thread.asked_at and (thread.number is None or f"{thread.number:02d}" in bare)
        for thread, _ in asked
    )


def _asked(draft: Draft) -> list[tuple[Thread, Cycle]]:
    steps = ASK_FOR_IT - {"soaking"}
    return [each for each in cleanings_here(draft) if each[0].top.step in steps]


def _labels(draft: Draft) -> frozenset[str]:
    return frozenset(map(fold_ours, draft.clinic.devices))


def _is_told_plainly(draft: Draft, bare: Words) -> bool:
    said = replace(draft.situation(), typed=Typed(" ".join(bare), (bare,), bare))
    return told_plainly(said) == "in"

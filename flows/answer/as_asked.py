"""COVERED WITH A CLEAN TOWEL: an answer, and with what it was done, as it was asked (S10, S17)."""

from collections.abc import Mapping
from dataclasses import replace

from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.replies.typed import POLITE, Typed, fold_ours
from flows.words import ANSWERS

_ADDS_NOTHING = POLITE | {
    *("IT", "THE", "A", "ALL", "AND", "WITH", "DONE", "YES", "I", "MY", "OVER", "FULLY"),
    *("SISTER", "SIR", "MADAM", "HANDLE", "CABLE", "BOTH", "TOWEL", "TOWELS", "CLEAN", "FRESH"),
    *("NEW", "LINT", "FREE", "DETERGENT", "STERILE", "DRAPE"),
}
"""IS IT DRY, and V1 IS DRY, may ask."""
_HEARD_OTHERWISE = frozenset({"again", "none"})
_LOOKS_AT_IT = frozenset({"damaged", "stained", "unsure", "tub"})
"""Answers of questions about what may be wrong, with a probe or with a tub."""


def as_asked(situation: Situation, step: Step, said: Typed) -> Typed | None:
    """The one word that is asked for, where nothing stands beside it but with what it was done.

    A question says what not to do, too: not all of its words will do.
    """
    is_an_act = situation.open.top.flow == "cycle" and _LOOKS_AT_IT.isdisjoint(step.answers)
    if said.asks or not is_an_act or len(said.words) <= 1:
        return None
    words: Mapping[str, str] = situation.vocabulary.words
    ours = {fold_ours(words[slug]) for slug in (*ANSWERS, "used", "fault", "spill", "splash")}
    answers = {fold_ours(words[slug]) for slug in step.answers if slug not in _HEARD_OTHERWISE}
    told = [each for each in said.words if each in answers]
    beside = {*said.words} - answers
    label = {fold_ours(situation.cycle.device)}
    if len(told) != 1 or not beside <= (_ADDS_NOTHING - ours) | label:
        return None
    return replace(said, lines=((told[0],),), words=(told[0],))

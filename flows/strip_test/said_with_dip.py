"""DIP T1 S2: where a strip was dipped, and of which bottle it is; no word is let be (S4)."""

import re
from dataclasses import dataclass, replace

from flows.parts.clinic import Container, Kind, StripBottle
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold_ours

_BEFORE = POLITE | {"YES", "DONE", "RIGHT"}
_BESIDE = _BEFORE | {
    *("A", "ONE", "THE", "STRIP", "STRIPS", "IN", "INTO", "OF", "FROM", "WITH", "AND", "JUST"),
    *("FOR", "NEW", "AGAIN"),
}
"""What people say around the tags; any other word may mean that it is not so, or of before."""


@dataclass(frozen=True, slots=True)
class Dipped:
    """Into what, and a strip of which bottle, by their tags."""

    container: str
    strips: str


def read_dip(situation: Situation) -> Dipped | NotUnderstood:
    """The container and the bottle that were named; DIP alone means those that were asked for.

    S4: DIP T1 3 MIN AGO is no strip that leaves the liquid now: its clock would begin too late.
    """
    said, number = _from_its_word(situation), situation.frame.number
    word = choose(_first(said), {situation.vocabulary.word("dip"): "dip"})
    if isinstance(word, NotUnderstood):
        return word
    if number and str(number) not in said.words:
        return NotUnderstood("bell number")
    beside = _without_its_seconds(situation, said.without(str(number)).words[1:])
    if any(not _is_read(situation, each) for each in beside):
        return NotUnderstood("word")
    return _named(situation)


def _from_its_word(situation: Situation) -> Typed:
    """OK DIP T1, T1 DIP: from the word on, and what stands before it behind it."""
    said, word = typed(situation), fold_ours(situation.vocabulary.word("dip"))
    at = said.words.index(word) if word in said.words else 0
    before = said.words[:at]
    if not all(each in _BEFORE or TAG.fullmatch(each) for each in before):
        return said
    return replace(said, words=(*said.words[at:], *before))


def _without_its_seconds(situation: Situation, words: tuple[str, ...]) -> tuple[str, ...]:
    """1 S, as the question says how long it is dipped; 1 S AGO keeps its AGO."""
    seconds = str(round(situation.protocol_here.strip.dip_for.total_seconds()))
    said = " ".join(words)
    return tuple(re.sub(rf"\b{seconds} ?(S|SEC|SECOND|SECONDS)\b", "", said).split())


def _named(situation: Situation) -> Dipped | NotUnderstood:
    """One of each at most; what nobody knows here is none, unless all of it is gone.

    No strip tests what was mixed here.
    """
    memo = situation.frame.memo
    named = tags_named(replace(situation, typed=_from_its_word(situation)))
    asked = memo.get("container", "")
    solutions = [
        each.tag for each in named if isinstance(each, Container) and each.kind is not Kind.MIXED
    ]
    bottles = [each.tag for each in named if isinstance(each, StripBottle)]
    others = len(named) - len(solutions) - len(bottles)
    is_unclear = len(solutions) > 1 or len(bottles) > 1 or others
    if is_unclear and asked in situation.clinic.containers:
        return NotUnderstood("word")
    return Dipped([*solutions, asked][0], [*bottles, memo.get("strips", "")][0])


def _is_read(situation: Situation, word: str) -> bool:
    labels = map(fold_ours, (*situation.clinic.devices, *situation.clinic.containers))
    return word in _BESIDE or bool(TAG.fullmatch(word)) or word in labels


def _first(said: Typed) -> Typed:
    return said.without(*said.words[1:])

"""DIP T1 S2: where a strip was dipped, and of which bottle it is; no word is let be (S4)."""

from dataclasses import dataclass

from flows.parts.clinic import Container, Kind, StripBottle
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold_ours

_BESIDE = POLITE | {
    *("A", "ONE", "THE", "STRIP", "STRIPS", "IN", "INTO", "OF", "FROM", "WITH", "AND", "JUST")
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
    said, number = typed(situation), situation.frame.number
    word = choose(_first(said), {situation.vocabulary.word("dip"): "dip"})
    if isinstance(word, NotUnderstood):
        return word
    if number and str(number) not in said.words:
        return NotUnderstood("bell number")
    if any(not _is_read(situation, each) for each in said.without(str(number)).words[1:]):
        return NotUnderstood("word")
    return _named(situation)


def _named(situation: Situation) -> Dipped | NotUnderstood:
    """One of each at most; what nobody knows here is none, unless all of it is gone.

    No strip tests what was mixed here.
    """
    memo, named = situation.frame.memo, tags_named(situation)
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

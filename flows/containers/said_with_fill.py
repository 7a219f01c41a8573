"""What is said beside FILLED, POURED and FRESH that belongs to the act and turns nothing (S6)."""

from dataclasses import replace

from flows.containers.label import next_tag
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold

_OF_THE_ACT = POLITE | {
    *("TUB", "BOTTLE", "BATH", "LINE", "IT", "THE", "TO", "INTO", "IN", "FROM", "UP", "AND"),
    *("LABELLED", "LABELED", "DONE", "YES"),
}
"""TOP is none of them: it is what was poured on to something."""
_EMPTY_NOW = frozenset({"IS", "NOW", "EMPTY"})
_OF_ALL = POLITE | {"ALL", "SO", "MIXED", "DONE", "YES", "IT", "IS", "AND", "LABELLED", "LABELED"}


def only_filled(situation: Situation, letter: str) -> Situation:
    """FILLED B2, POURED B1 INTO THE TUB as FILLED and POURED; any other text as it is.

    Only its own source and the tag that is to come are let be: of another tag it may be no pour.
    """
    said = typed(situation)
    done = {fold(situation.vocabulary.word(slug)) for slug in ("filled", "poured")}
    word = done.intersection(said.words)
    if len(word) != 1 or said.asks:
        return situation
    let_be = _OF_THE_ACT | {*_tags_of(situation, said, letter)}
    if is_source_empty(situation):
        let_be |= {fold(situation.vocabulary.word("empty")), *_EMPTY_NOW}
    rest = [each for each in said.words if each not in let_be - word]
    return (
        replace(situation, typed=replace(said, words=tuple(word)))
        if {*rest} == word
        else situation
    )


def _tags_of(situation: Situation, said: Typed, letter: str) -> list[str]:
    ours = {situation.frame.memo.get("source", ""), next_tag(situation, letter)}
    return [each for each in said.words if (tag := TAG.fullmatch(each)) and tag[1] in ours]


def is_source_empty(situation: Situation) -> bool:
    """FILLED, J1 EMPTY NOW: what stands between its tag and EMPTY is of it."""
    words, empty = typed(situation).words, fold(situation.vocabulary.word("empty"))
    source = situation.frame.memo.get("source", "")
    at = [i for i, each in enumerate(words) if (tag := TAG.fullmatch(each)) and tag[1] == source]
    if not at or empty not in words[at[-1] :]:
        return False
    between = words[at[-1] + 1 : words.index(empty, at[-1])]
    return _EMPTY_NOW.issuperset(between)


def empty_after_it(situation: Situation) -> Text:
    """S7: the pour is noted; what it came from is gone once somebody says so."""
    return say(
        "containers.fill.empty_after_it",
        "Is {source} empty now? Once it is thrown away: {discard} {source}.",
        source=situation.frame.memo.get("source", ""),
    )


def only_fresh(situation: Situation, letter: str) -> Situation:
    """ALL SO: FRESH, MIXED FRESH, T1 FRESH as FRESH; any other text as it is."""
    said, word = typed(situation), fold(situation.vocabulary.word("fresh"))
    tag = next_tag(situation, letter)
    rest = [each for each in said.words if each not in _OF_ALL and _bare(each) != tag]
    is_fresh = rest == [word] and not said.asks and said.words[0] != "IS"
    return replace(situation, typed=replace(said, words=(word,))) if is_fresh else situation


def _bare(word: str) -> str:
    tag = TAG.fullmatch(word)
    return tag[1] if tag else word

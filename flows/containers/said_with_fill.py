"""What is said beside FILLED, POURED and FRESH that belongs to the act and turns nothing (S6)."""

from dataclasses import replace

from flows.containers.label import next_tag
from flows.parts.clinic import Fitness, Kind
from flows.parts.reading import says_first, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.gone_by import tells_of_before
from flows.replies.tags import TAG, tags_in
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


BEFORE, ONTO = "before", "onto"
"""What the question for a pour reads where it was of before now, or onto what stands here."""


def was_before(situation: Situation) -> bool:
    """POURED YESTERDAY."""
    is_done = any(says_first(situation, slug) for slug in ("poured", "filled"))
    return is_done and tells_of_before(typed(situation).words[1:])


def why_no_pour(situation: Situation, said: str, letter: str) -> Text:
    """What is told of a pour of before, or onto what stands here."""
    word = situation.vocabulary.word("poured" if letter == "T" else "filled")
    if said == BEFORE:
        return _not_now_but_before(word)
    return _stands_there(onto_what(situation, letter), word)


def _not_now_but_before(word: str) -> Text:
    """S5: nobody can say by text how old it is: the desk enters it with its day."""
    return say(
        "containers.fill.before",
        "By text only what is poured just now. Was it before? Then your contact enters it with "
        "its day. Or throw it away, pour anew and reply {word}.",
        word=word,
    )


def onto_what(situation: Situation, letter: str) -> str:
    """S6: POURED INTO T1, where T1 stands here with what is in it; empty for any other text."""
    said = typed(situation)
    done = {fold(situation.vocabulary.word(slug)) for slug in ("filled", "poured")}
    ours = {situation.frame.memo.get("source", ""), next_tag(situation, letter)}
    if said.asks or done.isdisjoint(said.words):
        return ""
    here = situation.clinic.containers
    standing = [
        tag
        for tag in tags_in(said.words).values()
        if tag in here
        and here[tag].kind in {Kind.BATH, Kind.BOTTLE}
        and here[tag].fitness is not Fitness.DISCARDED
    ]
    return next((each for each in standing if each not in ours), "")


def _stands_there(tag: str, word: str) -> Text:
    """S6: what is poured onto a rest is not for use, nor is the rest."""
    return say(
        "containers.fill.onto",
        "Nothing is noted: {tag} stands here. Poured onto what is in it? {topped} {tag}, and "
        "neither is for use. Into an empty one, washed and dry? Reply {word} alone.",
        tag=tag,
        word=word,
    )


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

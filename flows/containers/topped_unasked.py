"""TOPPED where nobody pours: what it is of is not for use; without its tag it is asked (S6).

PUT SOME MORE IN T1 says the same.
"""

from dataclasses import replace

from flows.containers.discarded import without_its_bath
from flows.containers.topped import (
    NONE,
    SAID_BESIDE,
    asks_for_its_tag,
    held,
    that_it_is_held,
)
from flows.parts.clinic import AT_HAND, Container, Frame, Kind, Thread
from flows.parts.decision import BACK, Decision, Opening, Saying, told
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.denied import DENIES
from flows.replies.plainly import names_a_vessel
from flows.replies.put_in import poured_into
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import fold
from flows.rules.found_unfit import TOPPED_UP, never_good

_SAID_LATER = frozenset({"I", "WE", "SORRY", "WITH", "WATER", "BY", "MISTAKE", "SOME", "MORE"})
_BESIDE = SAID_BESIDE | _SAID_LATER
"""With any other word a tag may be no answer, and a word without a tag may be about anything."""
_DENIES = DENIES | {"IF", "WILL", "CAN", "COULD", "TOMORROW"}
"""A denial, or what has not been done."""
_CALLED = {Kind.BATH: {"TUB", "BATH"}, Kind.BOTTLE: {"BOTTLE"}}
_FROM = frozenset({"FROM", "WITH"})
_POURED_INTO = frozenset({Kind.BATH, Kind.BOTTLE})


def topped_unasked(
    situation: Situation, moment: Moment, *, doubled: bool = False
) -> Decision | None:
    """S6: TOPPED T1, ANN TOPPED UP T1 AND T2; without a tag it is asked for. None of another text.

    Until the tag is told whatever may be it is on hold; not for a word that may be *doubled*.
    """
    if not _is_said(situation):
        return None
    topped = _named(situation)
    if topped:
        return _not_for_use(situation, topped)
    if any(map(asks_for_one, situation.threads_here)):
        return None
    may_be = _may_be_it(situation)
    if not may_be:
        return told(_nothing_here())
    words = typed(situation).words
    is_plain = all(each in _BESIDE or TAG.fullmatch(each) for each in words)
    events = held(situation, may_be, moment) if is_plain and not doubled else ()
    asks = Frame("containers", WHICH.name, {"first": _first(situation)})
    return Decision(events=events, opens=Opening((asks,)))


def _is_said(situation: Situation) -> bool:
    said, word = typed(situation), fold(situation.vocabulary.word("topped"))
    of_a_probe = names_a_vessel(said, fold(situation.vocabulary.word("in")))
    is_denied = said.asks or not _DENIES.isdisjoint(said.words)
    is_told = word in said.words and not of_a_probe
    return not is_denied and (is_told or bool(_poured_into(situation)))


def _named(situation: Situation) -> list[Container]:
    """What was topped up; what it was topped up from is another, as a jug beside a tub is."""
    words, here = typed(situation).words, situation.clinic.containers
    into = [here[tag] for tag in _poured_into(situation) if tag in here]
    if into:
        return into
    tags = zip(map(TAG.fullmatch, words), ("", *words), strict=False)
    named = dict.fromkeys(tag[1] for tag, left in tags if tag and left not in _FROM)
    things = [here[tag] for tag in named if tag in here]
    return [each for each in things if each.kind in _POURED_INTO] or things


def _poured_into(situation: Situation) -> tuple[str, ...]:
    return poured_into(typed(situation).without(*situation.clinic.devices))


def _may_be_it(situation: Situation) -> list[Container]:
    """What stands here that one pours into."""
    here = situation.clinic.containers.values()
    return [each for each in here if each.kind in _POURED_INTO and each.fitness in AT_HAND]


def _first(situation: Situation) -> str:
    """The bath that a probe of this phone is in: it is named before others. Empty for none."""
    baths = [each.bath or "" for each in situation.cycles_on_phone if each.contact]
    return [*baths, ""][0]


def _nothing_here() -> Text:
    return say(
        "containers.topped.unasked.none",
        "No tub and no bottle is noted here, so nothing is noted. What was topped up is not for "
        "use: throw it away, wash and dry what it was in.",
    )


def _not_for_use(situation: Situation, things: list[Container]) -> Decision:
    """Nobody knows since when: what went by it since it was filled falls.

    Whoever is about to put a probe in it hears of another bath.
    """
    return Decision(
        events=tuple(event for one in things for event in never_good(one, TOPPED_UP)),
        says=tuple(Saying(_since_nobody_knows(one)) for one in things),
        moves=tuple(move for one in things for move in without_its_bath(situation, one.tag)),
    )


def _since_nobody_knows(one: Container) -> Text:
    return say(
        "containers.topped.unasked",
        "{tag} is not for use any more: throw it away, text {discard} {tag}. Nobody knows since "
        "when, so what was soaked in it is NOT READY: clean it again.",
        tag=one.tag,
    )


# -- which one ----------------------------------------------------------------------------------


def _ask(situation: Situation) -> Text:
    first = situation.frame.memo.get("first", "")
    return say(
        "containers.topped.unasked.which",
        "Which tub or bottle was topped up: {tags}? Text its tag; no tag on it: {none}. Until I "
        "know, use none of them.",
        tags=listed(sorted((each.tag for each in _may_be_it(situation)), key=first.__ne__)),
    )


def _read(situation: Situation) -> str | NotUnderstood:
    """A tag of anything here, though it is no tub and no bottle; none of any other text (S3)."""
    said, here = typed(situation), situation.clinic.containers
    tags = tags_in(said.words)
    is_told = not said.asks and _BESIDE.issuperset({*said.words} - {*tags})
    known = [tag for tag in dict.fromkeys(tags.values()) if tag in here]
    if is_told and len(tags) == len(known) == 1:
        return known[0]
    alone = _the_only_one(situation) if is_told and not tags else None
    if alone:
        return alone.tag
    return NONE if word_of(situation, ("none",)) == "none" else NotUnderstood("word")


def _the_only_one(situation: Situation) -> Container | None:
    """THE BATH, THE BOTTLE: where one of them stands here and no other."""
    said = {*typed(situation).words}
    kinds = {kind for kind, words in _CALLED.items() if words & said}
    meant = [each for each in _may_be_it(situation) if each.kind in kinds]
    return meant[0] if len(kinds) == len(meant) == 1 else None


def _decide(situation: Situation, tag: str, _: Moment) -> Decision:
    if tag == NONE:
        is_held = that_it_is_held(_may_be_it(situation))
        return Decision(says=is_held or (Saying(_nothing_held()),), then=BACK)
    return replace(_not_for_use(situation, [situation.clinic.containers[tag]]), then=BACK)


def _nothing_held() -> Text:
    """What was said was unclear, and nothing put on hold; whoever said it waits for a word."""
    return say(
        "containers.topped.unasked.not_here",
        "All right, nothing is noted. What was topped up and had no tag is not for use: throw it "
        "away.",
    )


def _all_gone(situation: Situation, _: Moment) -> Decision | None:
    if _may_be_it(situation):
        return None
    return Decision(says=(Saying(_nothing_here()),), then=BACK)


WHICH = Step(
    name="topped_which",
    asks=_ask,
    again=_ask,
    asks_brief=_ask,
    reads=_read,
    decides=_decide,
    answers=("none",),
    lapsed=_all_gone,
)


def asks_for_one(thread: Thread) -> bool:
    """Whether the tag of what was topped up is asked for there, on whatever occasion."""
    return asks_for_its_tag(thread) or thread.top.step == WHICH.name

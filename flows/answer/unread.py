"""What nobody has read is said to be not noted (S7, S8).

No list of what can go wrong is ever whole; one of what is harmless may lack a word at the cost of
a longer answer.
"""

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from flows.answer.draft import Draft
from flows.answer.unclear import holds_its_word, what_is_wrong
from flows.catalogue import FLOWS
from flows.containers.discarded import NEEDS_A_BATH, NEEDS_ITS_BATH
from flows.containers.just_filled import told_of_last
from flows.cycle.unasked import ASK_FOR_IT
from flows.parts.clinic import AT_HAND, Cycle, Thread
from flows.parts.situation import Situation
from flows.parts.state.dips import is_to_be_read
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.amounts import is_volume
from flows.replies.numbers import is_figure
from flows.replies.plainly import SEEN, may_be_damage
from flows.replies.small_talk import news
from flows.replies.tags import TAG, tags_in
from flows.replies.temperature import unit_of
from flows.replies.typed import Typed, fold, fold_ours
from flows.words import ANSWERS

_NOTHING_DONE_YET = frozenset({"codes", "cautions", "inspect"})
"""Steps before anything is done to a probe that could be done wrong; damage is asked for there."""
_BY_THEMSELVES = 1
"""One word nobody has read may be a name or a slip there."""

_OF_ITS_PLACE = frozenset({"OUT", "SOMETHING", "ELSE", "USE", "BOX"})
_OF_A_MIXTURE = frozenset(
    {
        "GOGGLES",
        "AIR",
        "TUB",
        "BOTTLE",
        "EMPTY",
        "WASHED",
        "DRY",
        "WET",
        "MEASURED",
        "WATER",
    }
    | {"TAP", "BOILED", "COOLED", "CLEAN", "CLEAR", "NOTHING", "MIXED", "MIXING", "NOT", "SURE"}
)
_SAID_THERE: Mapping[str, frozenset[str]] = {
    "stayed": _OF_ITS_PLACE,
    "in_again": _OF_ITS_PLACE,
    "dip": frozenset({"NO", "STRIP", "STRIPS", "LEFT", "THERE", "ARE"}),
    "cautions": frozenset(
        {"EYE", "SHIELD", "GOGGLES", "GOWN", "APRON", "MASK", "WINDOW", "OPEN", "BURNER", "OFF"}
        | {"NOTHING", "SPILLED", "SKIN", "FUMES", "AIR", "MOVING"}
    ),
    "activate": frozenset(
        {"ACTIVATED", "ACTIVATOR", "ADDED", "POURED", "SHAKEN", "MIXED", "JUST"}
    ),
    "single_use": frozenset({"FROM", "WRONG"}),
    "single_use_mixed": _OF_A_MIXTURE,
    "to_wipe_mixed": _OF_A_MIXTURE,
    "fill": frozenset({"WASHED", "DRY", "POURING", "FILLING"}),
}
"""What that very question asks for in words of its own, or says itself how to answer."""
_NAME_THEIR_SOURCE = frozenset(
    {"fill", "activate", "single_use", "single_use_mixed", "to_wipe", "to_wipe_mixed"}
)
_OF_WHAT_IS_OPENED = frozenset({"jug", "jug_lot", "strips", "strips_lot"})
_OF_WHAT_IS_PRINTED = frozenset(
    {
        "NO",
        "NOT",
        "NONE",
        "THERE",
        "LOT",
        "LOTS",
        "BATCH",
        "DATE",
        "EXPIRY",
        "YEAR",
        "MONTH",
        "DAY",
    }
    | {"READ", "READABLE", "SEE", "FIND", "CANT", "CANNOT", "CAN'T", "PRINTED", "LABEL", "THANKS"}
)
"""What is said of a date or a lot itself."""

_NEVER_HARMLESS = frozenset(
    {"NOT", "NO", "TAKEN", "OUT", "MOVED", "EARLY", "COLD", "WARM", "DAMAGE", "BLUE", "PATCHY"}
    | {"ANYTHING", "WATER", "WET", "ADDED", "TORN", "OLD"}
)
"""Words of a question that are news in an answer."""

_A_SLIP = 1
"""A word near one that is asked for is asked back as that, where nothing else stands beside it."""


def nothing_noted(draft: Draft, thread: Thread, why: NotUnderstood) -> Text | None:
    """How to say what may have been meant, where words were typed that nobody has read.

    A word by itself may be a lot, where one is asked for.
    """
    said = draft.typed
    if said is None or _asks_else(draft, thread):
        return None
    step = FLOWS[thread.top.flow].step(thread.top.step)
    answers = step.answers if step else ()
    beside = _SAID_THERE.get(thread.top.step, frozenset())
    asked = (
        _words_asked(step, draft.situation(thread)) if thread.top.flow == "cycle" and step else ()
    )
    words = [each for each in words_unread(draft, said, answers) if each not in {*beside, *asked}]
    unread = len(words) - (_A_SLIP if why.hint == "near" else 0)
    if unread <= 0:
        return None
    if thread.top.step in _OF_WHAT_IS_OPENED:
        return _about_what_is_opened() if _is_of_what_is_opened(said, words) else None
    if thread.top.flow == "use":
        is_more = unread > _BY_THEMSELVES or may_be_damage(said) or any(tags_in(said.words))
        return _of_nothing_here(draft) if is_more else None
    return _about_the_stock(draft, thread) or _about_the_cleaning(draft, said, thread, unread)


def _words_asked(step: Step, situation: Situation) -> frozenset[str]:
    """TIMER, LINE, TOWEL: what its question says in words that are no answers of ours."""
    texts = (step.asks(situation), step.again(situation))
    return frozenset().union(*(_words_of(each.english) for each in texts)) - _NEVER_HARMLESS - SEEN


@lru_cache(maxsize=512)
def _words_of(english: str) -> frozenset[str]:
    return frozenset(re.findall("[A-Z]+", re.sub(r"\{.*?\}", " ", english).upper()))


def _is_of_what_is_opened(said: Typed, unread: list[str]) -> bool:
    """IT IS CLOUDY; a word by itself, or one with figures, may be a lot or a date."""
    has_figures = any(each.isdecimal() for word in said.words for each in word)
    return len(said.words) > 1 and not has_figures and not _OF_WHAT_IS_PRINTED.issuperset(unread)


def _about_the_cleaning(draft: Draft, said: Typed, thread: Thread, unread: int) -> Text | None:
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    if cycle is None or thread.top.flow != "cycle":
        return None
    if cycle.bath and _is_about_its_bath(cycle, thread):
        is_put_in = thread.top.step in ASK_FOR_IT and cycle.been_in == cycle.bath
        about = _in_and_more if is_put_in else _about_the_bath
        return about(cycle, cycle.bath)
    is_at_rest = thread.top.step in _NOTHING_DONE_YET
    if is_at_rest and unread <= _BY_THEMSELVES:
        return None
    is_an_answer = is_at_rest or holds_its_word(draft, said, thread)
    return _of_nothing_here(draft) if is_an_answer else what_is_wrong(draft, cycle.device)


def _about_the_stock(draft: Draft, thread: Thread) -> Text | None:
    """Of what its question names, or of what this phone has just told of: bad news is of that."""
    top = thread.top
    if is_to_be_read(thread) or top.step == "dip":
        return _about_the_strip(top.memo)
    if top.step in _NAME_THEIR_SOURCE and top.memo.get("source"):
        return _about_what_is_at_hand(top.memo["source"])
    last = told_of_last(draft.situation(), draft.moment)
    return _about_what_is_at_hand(last.tag) if last else None


def nothing_noted_of_the_last(draft: Draft) -> Text | None:
    """The same where nothing is asked."""
    said, last = draft.typed, told_of_last(draft.situation(), draft.moment)
    is_news = said is not None and bool(news(said.words))
    return _about_what_is_at_hand(last.tag) if last and is_news else None


def _asks_else(draft: Draft, thread: Thread) -> bool:
    """That question is not due any more, and the one that is asks about just what was said."""
    step = FLOWS[thread.top.flow].step(thread.top.step)
    lapsed = step.lapsed if step else None
    return lapsed is not None and lapsed(draft.situation(thread), draft.moment) is not None


def words_unread(draft: Draft, said: Typed, answers: Iterable[str]) -> list[str]:
    """Words that are none of *answers*, by their slugs, no name or number, and no small talk."""
    words = draft.vocabulary(draft.person).words
    known = {
        *(fold_ours(words[slug]) for slug in answers),
        *map(fold_ours, draft.clinic.devices),
        *fold(draft.name).split(),
    }
    told = news(said.words)
    return [each for each in told if each not in known and not _is_a_figure_or_tag(each)]


def _is_a_figure_or_tag(word: str) -> bool:
    is_unit = unit_of(word) is not None or is_volume(f"1{word}")
    return is_figure(word.rstrip("%")) or is_unit or TAG.fullmatch(word) is not None


def _is_about_its_bath(cycle: Cycle, thread: Thread) -> bool:
    return cycle.contact is not None or thread.top.step in NEEDS_A_BATH | NEEDS_ITS_BATH


def _about_the_strip(memo: Mapping[str, str]) -> Text:
    return say(
        "told.unread.strip",
        "I did not understand that: nothing is noted. Strips wet, old, of another kind? {fault} "
        "{strips}. {tag} not good? {fault} {tag}.",
        strips=memo.get("strips", ""),
        tag=memo.get("container", ""),
    )


def _about_what_is_at_hand(tag: str) -> Text:
    if tag.startswith("S"):
        return say(
            "told.unread.strips",
            "Not understood: nothing is noted. Strips {tag} out of date, wet, open for long, of "
            "another kind, not tested just so, in doubt? {fault} {tag}.",
            tag=tag,
        )
    return say(
        "told.unread.stock",
        "Not understood: nothing is noted. {tag} out of date, cloudy, open for long, of the wrong "
        "jug, its tub or bottle not dry, in doubt? {fault} {tag}.",
        tag=tag,
    )


def _about_the_bath(cycle: Cycle, bath: str) -> Text:
    """Before its soak there is nothing that it can have been moved out of."""
    return say(
        "told.unread.bath",
        "Not understood: nothing is noted. {tag} or its strip not good? {fault} {tag}. Something "
        "added? {topped} {tag}. {device} not in, moved, in doubt? {device} {word}.",
        tag=bath,
        device=cycle.device,
        word=ANSWERS["moved" if cycle.contact else "again"],
    )


def _in_and_more(cycle: Cycle, bath: str) -> Text:
    """S1, S4: it was in that bath, and what else was told may be why it must not stay there."""
    return say(
        "told.unread.put_in",
        "Only that {device} was in {tag} is noted. Wet, not clean, not alone there? Take it out: "
        "{device} {again}. Added to? {topped} {tag}. {tag} not good? {fault} {tag}.",
        device=cycle.device,
        tag=bath,
    )


def _of_nothing_here(draft: Draft) -> Text:
    """Of a bath, a bottle or strips nobody is asked at that step."""
    return say(
        "told.unread",
        "I did not understand that: nothing of it is noted. Is a bath, bottle, strip or probe not "
        "good? {fault} and its name, like {example}.",
        example=f"{draft.vocabulary(draft.person).word('fault')} {_any_name(draft)}",
    )


def _any_name(draft: Draft) -> str:
    here = draft.clinic.containers.values()
    tags = [each.tag for each in here if each.fitness in AT_HAND]
    return [*tags, *draft.clinic.devices, ""][0]


def _about_what_is_opened() -> Text:
    return say(
        "told.unread.opened",
        "I did not understand that: nothing is noted. Is what you open not good, open before, in "
        "doubt? Do not use it: put it aside, and take another.",
    )

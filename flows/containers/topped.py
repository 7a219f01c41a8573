"""TOPPED: what was still in the tub or the bottle bore a tag, and is not for use either (S6)."""

from collections.abc import Sequence

from flows.containers.one_life import held_for_a_strip
from flows.parts.clinic import AT_HAND, Container, Kind, Thread
from flows.parts.decision import Decision, Next, Saying, go
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    Event,
)
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.tags import tags_in
from flows.replies.typed import POLITE
from flows.rules.found_unfit import TOPPED_UP
from flows.rules.soak import broken_from_outside, is_out
from flows.rules.strip import MAY_BE_TOPPED, may_be_tested

NONE = ""
"""It had no tag: nothing is known here of what was in it."""

MOST_SAID = 2
"""Of what is on hold for it, so many are told one by one; the rest says so when it is named."""

SAID_BESIDE = POLITE | {
    *("IT", "WAS", "IS", "HAD", "THE", "TAG", "ON", "OLD", "TUB", "BATH", "BOTTLE", "TOPPED", "UP")
}
"""What people say beside the tag; with any other word it may be of a probe, like IN T1 23 (S3)."""


def poured_anew() -> Next:
    """What is poured next is no older than its own question, and may come from something else."""
    return go("fill", source="", since="")


def held_for_it(situation: Situation, moment: Moment) -> tuple[Event, ...]:
    """S4, S6: what may have been topped up is for nothing until its own strip passes.

    Whoever is asked for the tag may never answer. What waits for a strip already waits for one
    that is dipped from now on.
    """
    return held(situation, _may_be_it(situation), moment)


def held(situation: Situation, things: Sequence[Container], moment: Moment) -> tuple[Event, ...]:
    """S4, S6: each of *things*, and what soaks in it, until its own strip passes."""
    events: list[Event] = []
    for each in things:
        if may_be_tested(each, moment.now):
            events += [
                ContainerHeld(each.tag, MAY_BE_TOPPED),
                *_broken_in(situation, each, moment),
            ]
    return tuple(events)


def _broken_in(situation: Situation, bath: Container, moment: Moment) -> tuple[Event, ...]:
    """S1, S8: what soaks in it soaks on no pass any more; what is out already is not in it."""
    cycle = situation.clinic.cycles.get(bath.in_use_by or "")
    soak = cycle.contact if cycle else None
    if cycle is None or soak is None or is_out(situation.clinic, cycle):
        return ()
    return broken_from_outside(cycle, MAY_BE_TOPPED, moment.now)


def _may_be_it(situation: Situation) -> list[Container]:
    """What stands here of its kind and could have been in it, or is gone and has been used."""
    memo, since = situation.frame.memo, situation.first_asked
    kind = Kind(memo.get("kind", Kind.BATH.value))
    source = situation.clinic.containers.get(memo.get("source", ""))
    product = source.product if source else situation.protocol_here.chemistry.name
    discarded = situation.past((ContainerDiscarded,), since)
    gone = {getattr(each.event, "tag", "") for each in discarded}
    return [
        each
        for each in situation.clinic.containers.values()
        if (each.kind, each.product) == (kind, product)
        and (each.fitness in AT_HAND or (each.tag in gone and (each.cycles or each.cleared)))
        and not _has_had_a_probe_in_it(situation, each)
    ]


def _has_had_a_probe_in_it(situation: Situation, bath: Container) -> bool:
    """Ever since before anybody was asked to pour: nobody has topped up that one.

    What has gone in since may have gone into a mixture.
    """
    cycle = situation.clinic.cycles.get(bath.in_use_by or "")
    soak = cycle.contact if cycle else None
    if cycle is None or soak is None or is_out(situation.clinic, cycle):
        return False
    return soak.began < situation.first_asked


def _nothing_bears_a_tag(situation: Situation, _: Moment) -> Decision | None:
    if _may_be_it(situation):
        return None
    text = say(
        "containers.topped",
        "Then that mixture, {tag}, is not for use: label it, throw it away. Wash and dry what it "
        "was in before pouring again.",
        tag=situation.frame.memo["topped"],
    )
    return Decision(says=(Saying(text),), then=poured_anew())


def _ask(situation: Situation) -> Text:
    return say(
        "containers.topped.which",
        "Then that mixture, {tag}, is not for use: throw it away. Which tag was on it before, "
        "like {other}? {none} if it had none.",
        tag=situation.frame.memo["topped"],
        other=_may_be_it(situation)[0].tag,
    )


def _ask_again(situation: Situation) -> Text:
    return say(
        "containers.topped.which.again",
        "Which tag was on what you topped up? It may be {tags}; {none} if it had no tag.",
        tags=listed([each.tag for each in _may_be_it(situation)]),
    )


def _read(situation: Situation) -> str | NotUnderstood:
    known, said = {each.tag for each in _may_be_it(situation)}, typed(situation)
    named = tags_in(said.words)
    tags = {*named.values()}
    is_told = not said.asks and SAID_BESIDE.issuperset({*said.words} - {*named})
    if is_told and len(tags) == 1 and tags <= known:
        return tags.pop()
    return NONE if word_of(situation, ("none",)) == "none" else NotUnderstood("word")


def _decide(situation: Situation, tag: str, _: Moment) -> Decision:
    if tag == NONE:
        return Decision(says=that_it_is_held(_may_be_it(situation)), then=poured_anew())
    text = say(
        "containers.topped.gone",
        "{tag} is not for use any more either. Once it is thrown away: {discard} {tag}. Wash and "
        "dry what it was in.",
        tag=tag,
    )
    condemned = ContainerCondemned(tag, TOPPED_UP)
    return Decision(events=(condemned,), says=(Saying(text),), then=poured_anew())


def that_it_is_held(things: Sequence[Container]) -> tuple[Saying, ...]:
    """What frees those of *things* that may have been it."""
    tags = [each.tag for each in things if each.why == MAY_BE_TOPPED]
    return tuple(Saying(held_for_a_strip(each)) for each in tags[:MOST_SAID])


TOPPED = Step(
    name="topped",
    asks=_ask,
    again=_ask_again,
    asks_brief=_ask,
    reads=_read,
    decides=_decide,
    answers=("none",),
    skips=_nothing_bears_a_tag,
    lapsed=_nothing_bears_a_tag,
)


def asks_for_its_tag(thread: Thread | None) -> bool:
    """Whether what is asked there, or has just been told, is the tag of what was topped up."""
    return thread is not None and thread.top.step == TOPPED.name

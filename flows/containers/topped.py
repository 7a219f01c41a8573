"""TOPPED: what was still in the tub or the bottle bore a tag, and is not for use either (S6)."""

from flows.parts.clinic import AT_HAND, Container, Kind
from flows.parts.decision import Decision, Next, Saying, go
from flows.parts.events import ContainerCondemned, ContainerHeld
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import TAG, typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.typed import POLITE
from flows.rules.strip import MAY_BE_TOPPED, may_be_tested

NONE = ""
"""It had no tag: nothing is known here of what was in it."""

_SAID_BESIDE = POLITE | {
    *("IT", "WAS", "IS", "HAD", "THE", "TAG", "ON", "OLD", "TUB", "BATH", "BOTTLE", "TOPPED", "UP")
}
"""What people say beside the tag; with any other word it may be of a probe, like IN T1 23 (S3)."""


def poured_anew() -> Next:
    """What is poured next is no older than its own question, and may come from something else."""
    return go("fill", source="", since="")


def held_for_it(situation: Situation, moment: Moment) -> tuple[ContainerHeld, ...]:
    """S4, S6: a bath that may be what was topped up soaks nothing until its own strip passes.

    Whoever is asked for the tag may never answer. What waits for a strip already waits for one
    that is dipped from now on.
    """
    return tuple(
        ContainerHeld(each.tag, MAY_BE_TOPPED)
        for each in _may_be_it(situation)
        if each.kind is Kind.BATH and may_be_tested(each, moment.now)
    )


def _may_be_it(situation: Situation) -> list[Container]:
    """What stands here of its kind and could have been in it; a probe is in none of them."""
    memo = situation.frame.memo
    kind = Kind(memo.get("kind", Kind.BATH.value))
    return [
        each
        for each in situation.clinic.containers.values()
        if (each.kind, each.product) == (kind, situation.protocol_here.chemistry.name)
        and each.fitness in AT_HAND
        and not each.in_use_by
    ]


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
        "Which tag was on what you topped up? Here stand {tags}; {none} if it had no tag.",
        tags=listed([each.tag for each in _may_be_it(situation)]),
    )


def _read(situation: Situation) -> str | NotUnderstood:
    known, said = {each.tag for each in _may_be_it(situation)}, typed(situation)
    named = {word: tag[1] for word in said.words if (tag := TAG.fullmatch(word))}
    tags = {*named.values()}
    is_told = not said.asks and _SAID_BESIDE.issuperset({*said.words} - {*named})
    if is_told and len(tags) == 1 and tags <= known:
        return tags.pop()
    return NONE if word_of(situation, ("none",)) == "none" else NotUnderstood("word")


def _decide(_: Situation, tag: str, __: Moment) -> Decision:
    if tag == NONE:
        return Decision(then=poured_anew())
    text = say(
        "containers.topped.gone",
        "{tag} is not for use any more either. Once it is thrown away: {discard} {tag}. Wash and "
        "dry what it was in.",
        tag=tag,
    )
    condemned = ContainerCondemned(tag, "topped_up")
    return Decision(events=(condemned,), says=(Saying(text),), then=poured_anew())


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

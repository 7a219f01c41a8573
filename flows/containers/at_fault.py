"""FAULT T1: a bath, a bottle, a jug, a batch or strips, bad for whatever reason (S4, S5, S6, S18).

DISCARD says that it is gone, and no more; TEST would ask a second strip to clear what is bad.
"""

from itertools import takewhile

from flows.containers.discarded import without_its_bath
from flows.containers.one_life import held_for_a_strip
from flows.containers.strips import tested_again
from flows.parts.clinic import Clinic, Container, Fitness, StripBottle
from flows.parts.decision import Decision, Saying, joined
from flows.parts.events import ContainerHeld, Event
from flows.parts.kept_apart import keep
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.by_device import without_denied
from flows.replies.tags import TAG, tags_in
from flows.rules.found_unfit import AT_FAULT, begun, never_good
from flows.rules.strip import KIN_FAILED, fallen_with_strips, may_be_tested
from flows.rules.twins import in_doubt_with

Thing = Container | StripBottle


def fault_of_things(situation: Situation, moment: Moment) -> Decision | None:
    """What bears the tags that it tells of is for nothing any more; None without one.

    Nobody knows since when it was bad: all that has gone by it since it was there falls.
    """
    tags = _named(situation)
    return joined(_of(situation, tag, moment) for tag in tags) if tags else None


def _named(situation: Situation) -> list[str]:
    """Those right behind FAULT; where it names no probe, FAULT IN T1, all that are named."""
    words = typed(situation).after(1).without("AND").words
    behind = takewhile(TAG.fullmatch, words)
    tags = [tag[1] for word in behind if (tag := TAG.fullmatch(word))]
    if not tags and device_named(situation) is None:
        meant = without_denied(words, lambda word: TAG.fullmatch(word) is not None)
        tags = [*tags_in(meant).values()]
    return list(dict.fromkeys(tags))


def _of(situation: Situation, tag: str, moment: Moment) -> Decision:
    clinic = situation.clinic
    one = clinic.containers.get(tag) or clinic.strips.get(tag)
    if one is None:
        return _unknown(situation, tag, moment)
    if one.fitness is Fitness.CONDEMNED and one.discard_by <= begun(one):
        return Decision(says=(Saying(_out_of_use(one)),))
    bad = never_good(one, AT_FAULT)
    if isinstance(one, StripBottle):
        with_it = _with_strips(clinic, one, moment)
    else:
        with_it = _with_liquid(clinic, one, moment)
    moves = without_its_bath(situation, tag)
    return Decision(
        (*bad, *with_it.events), (Saying(_out_of_use(one)), *with_it.says), moves=moves
    )


def _with_liquid(clinic: Clinic, one: Container, moment: Moment) -> Decision:
    """S4: a strip of it may have failed: what it came from waits for a strip of its own."""
    sources: list[Container] = []
    source = clinic.containers.get(one.source or "")
    while source:
        sources.append(source)
        source = clinic.containers.get(source.source or "")
    held = [
        each
        for each in sources
        if each.fitness is Fitness.GOOD and may_be_tested(each, moment.now)
    ]
    return Decision(
        tuple(ContainerHeld(each.tag, KIN_FAILED) for each in held),
        tuple(Saying(held_for_a_strip(each.tag)) for each in held),
    )


def _with_strips(clinic: Clinic, bottle: StripBottle, moment: Moment) -> Decision:
    """S4: what may be the same bottle judges nothing until it is tested again."""
    twins = in_doubt_with(clinic, bottle)
    fell: list[Event] = []
    for each in twins:
        case = moment.ident(f"case/strips/{each.tag}")
        fell += fallen_with_strips(clinic, clinic.strips[each.tag], case)
    says = tuple(Saying(tested_again(each.tag, bottle.tag)) for each in twins)
    return Decision((*twins, *dict.fromkeys(fell)), says)


def _unknown(situation: Situation, tag: str, moment: Moment) -> Decision:
    """S7: the fact is kept and somebody told, though no record knows what it is of."""
    free, kept = keep("unknown_device", typed(situation).text, moment)
    text = say(
        "containers.fault.unknown",
        "{tag} is not known here. Your words are kept and your contact is told. Use nothing that "
        "bears that tag.",
        tag=tag,
    )
    return Decision(events=(free,), says=(Saying(text),), kept=(kept,))


def _out_of_use(one: Thing) -> Text:
    if isinstance(one, StripBottle):
        return say(
            "containers.fault.strips",
            "{tag} is out of use: throw the bottle away, text {discard} {tag}. What was soaked "
            "on a strip of it is NOT READY: clean it again. Thank you for saying it.",
            tag=one.tag,
        )
    return say(
        "containers.fault",
        "{tag} is out of use: throw it away, text {discard} {tag}. What was soaked in it or wiped "
        "with it is NOT READY: clean it again. Thank you.",
        tag=one.tag,
    )

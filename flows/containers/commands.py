"""OPEN and POUR as commands of their own, outside a cycle."""

from flows.parts.clinic import Container, Fitness, Frame, Kind
from flows.parts.decision import Decision, Opening, Saying, told
from flows.parts.moment import Moment
from flows.parts.reading import container_named, typed
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.rules.strip import is_sound, none_exists

SOURCES = frozenset({Kind.JUG, Kind.BOTTLE})


def _may_be_poured(source: Container, moment: Moment) -> bool:
    """What is named is never replaced by another. A strip of its own may free what is held."""
    return source.fitness is Fitness.HELD or is_sound(source, moment.now)


def _word_after(situation: Situation) -> str:
    words = typed(situation).words
    return words[1] if len(words) > 1 else ""


def open_command(situation: Situation, _: Moment) -> Decision:
    """OPEN: a new jug; OPEN S: a new bottle of strips; OPEN J1: since when J1 is open."""
    known = container_named(situation)
    if known:
        text = say(
            "containers.open.known",
            "{tag} is open already. Discard it by {until}: that date stays.",
            tag=known.tag,
            until=known.discard_by,
        )
        return Decision(says=(Saying(text),))
    step = "strips" if _word_after(situation).startswith("S") else "jug"
    if step == "strips" and situation.todays.chemistry.is_single_use:
        return told(none_exists(situation.todays.chemistry))
    return Decision(opens=Opening((Frame("containers", step, {"kind": step}),)))


def pour_command(situation: Situation, moment: Moment) -> Decision:
    """POUR: a bath from the working bottle; POUR J1: a working bottle from that jug."""
    source = container_named(situation)
    if source and source.kind in SOURCES and not _may_be_poured(source, moment):
        text = say(
            "containers.pour.not_from",
            "{tag} is not for use: {state} {tag} says why. {pour} alone takes what is in date.",
            tag=source.tag,
        )
        return told(text)
    kind = Kind.BOTTLE if source and source.kind is Kind.JUG else Kind.BATH
    memo = {"kind": kind.value} | ({"source": source.tag} if source else {})
    return Decision(opens=Opening((Frame("containers", "fill", memo),)))

"""What must be opened, poured or tested before the first probe, for the morning text."""

from collections.abc import Iterator
from datetime import datetime

from flows.parts.clinic import Container, Fitness, Kind, Standing
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.fields import NO_STRIP
from flows.protocols.model import CycleProtocol
from flows.rules.container_life import has_uses_left, is_active, lasts_a_soak
from flows.rules.strip import is_sound, may_be_tested, strips_at_hand, strips_to_check
from flows.rules.wiping import may_wipe

IN_ONE = 2


def first(situation: Situation, now: datetime) -> tuple[Text, ...]:
    """Two things to a text; nothing where a probe can be wiped and soak, but for its strip."""
    due = list(_all(situation, now))
    return tuple(_in_one(*due[at : at + IN_ONE]) for at in range(0, len(due), IN_ONE))


def _in_one(first_a: Text, first_b: Text | None = None) -> Text:
    if first_b is None:
        return say("first.1", "Before the first probe: {first_a}", first_a=first_a)
    return say(
        "first.2", "Before the first probe: {first_a} {first_b}", first_a=first_a, first_b=first_b
    )


def _all(situation: Situation, now: datetime) -> Iterator[Text]:
    """Each product and each kind of strips once, in the order of the devices that need them."""
    standings = {each.standing for each in situation.clinic.devices.values()}
    if standings == {Standing.QUARANTINED}:
        yield say(
            "first.quarantine", "Every probe is in quarantine: ask a supervisor to look at it."
        )
    models = dict.fromkeys(each.model for each in situation.clinic.devices.values())
    protocols = [*map(situation.today, models)]
    for protocol in {each.chemistry.name: each for each in protocols}.values():
        solution = _solution(situation, protocol, now)
        if solution:
            yield solution
    for protocol in {each.strip.name: each for each in protocols}.values():
        strips = _strips(situation, protocol, now)
        if strips:
            yield strips


def _solution(situation: Situation, protocol: CycleProtocol, now: datetime) -> Text | None:
    """From a jug or a bottle that is there, the one that runs out first; else a new one.

    S1: a bath alone is not enough: handle and cable are wiped first, and never from a bath.
    """
    chemistry = protocol.chemistry
    ours = [
        each
        for each in situation.clinic.containers.values()
        if each.product == chemistry.name
        and lasts_a_soak(each.discard_by, protocol.bell_after, now)
    ]
    good = sorted((each for each in ours if is_sound(each, now)), key=lambda one: one.discard_by)
    has_bath = any(_is_enough(each, protocol) for each in good)
    containers = situation.clinic.containers.values()
    if has_bath and (
        chemistry.is_single_use or any(may_wipe(each, chemistry, now) for each in containers)
    ):
        return None
    sources = [each for each in good if each.kind in {Kind.BOTTLE, Kind.JUG}]
    sources.sort(key=lambda one: one.kind is Kind.JUG)
    if sources:
        return _poured_from(sources[0], protocol)
    if has_bath:
        ours = [each for each in ours if each.kind is not Kind.BATH]
    held = [each.tag for each in ours if each.fitness is Fitness.HELD and may_be_tested(each, now)]
    if held:
        return _on_hold(held[0])
    return _none_to_wipe_with(protocol) if has_bath else _none_in_date(protocol)


def _is_enough(container: Container, protocol: CycleProtocol) -> bool:
    """A bath with a soak left; what is mixed for one soak needs its source only (S4)."""
    if protocol.chemistry.is_single_use:
        return container.kind is Kind.JUG
    return container.kind is Kind.BATH and has_uses_left(container.uses, protocol.chemistry)


def _poured_from(source: Container, protocol: CycleProtocol) -> Text:
    if source.kind is Kind.BOTTLE:
        return say("first.bath", "Pour a bath from {source} ({pour}).", source=source.tag)
    if not is_active(source, protocol.chemistry):
        return say(
            "first.activate", "Activate {source}, pour from it ({pour}).", source=source.tag
        )
    return say(
        "first.jug", "Fill a bottle from {source}, then a bath ({pour}).", source=source.tag
    )


def _on_hold(tag: str) -> Text:
    return say(
        "first.held", "{tag} is on hold: {test} {tag} may clear it. Or open another.", tag=tag
    )


def _none_in_date(protocol: CycleProtocol) -> Text:
    return say(
        "first.none",
        "No {product} is in date: open some ({open}) or get it today.",
        product=protocol.chemistry.title,
    )


def _none_to_wipe_with(protocol: CycleProtocol) -> Text:
    return say(
        "first.wipe",
        "No {product} to wipe with: open some ({open}) or get it today.",
        product=protocol.chemistry.title,
    )


def _strips(situation: Situation, protocol: CycleProtocol, now: datetime) -> Text | None:
    clinic, product = situation.clinic, protocol.strip
    if protocol.strip_policy == NO_STRIP or strips_at_hand(clinic, product, now):
        return None
    untested = strips_to_check(clinic, product, now)
    if untested:
        return say("first.check", "Test the strips {tag} ({test} {tag}).", tag=untested.tag)
    return say(
        "first.strips",
        "No {product} is in date: open some ({open} S) or get some today.",
        product=product.title,
    )

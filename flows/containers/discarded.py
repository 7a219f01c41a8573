"""DISCARD T1, DISCARD S1: what somebody says was thrown away, and how it is made harmless."""

from flows.containers.one_life import product_here
from flows.parts.clinic import Container
from flows.parts.decision import BACK, Decision, Move, Saying, go, told
from flows.parts.events import ContainerDiscarded
from flows.parts.moment import Moment
from flows.parts.reading import container_named, strips_named
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry

NEEDS_ITS_BATH = frozenset({"container", "immerse", "warm", "back_in"})
"""Steps of a cycle at which the device is about to go into the bath that was chosen."""


def discard(situation: Situation, _: Moment) -> Decision:
    """DISCARD T1: what somebody says was thrown away; nothing is discarded that nobody said."""
    container, bottle = container_named(situation), strips_named(situation)
    if bottle:
        return Decision(
            events=(ContainerDiscarded(bottle.tag),), says=(Saying(_noted(bottle.tag)),)
        )
    if container is None:
        text = say("discard.which", "Which one was thrown away? Its tag, like {discard} T1.")
        return told(text)
    tag = container.tag
    if container.in_use_by:
        device = situation.clinic.cycles[container.in_use_by].device
        text = say(
            "discard.in_use",
            "{device} is still in {tag}. Take it out first: text {out}.",
            device=device,
            tag=tag,
        )
        return told(text)
    return Decision(
        events=(ContainerDiscarded(tag),),
        says=(Saying(_harmless_first(situation, container)),),
        moves=_without_it(situation, tag),
    )


def _noted(tag: str) -> Text:
    return say("discard.done", "{tag} is noted as thrown away.", tag=tag)


def _harmless_first(situation: Situation, container: Container) -> Text:
    """Where its product must be neutralised before it is poured away, who tells how much."""
    product = product_here(situation, container.product)
    if not isinstance(product, Chemistry) or product.neutraliser is None:
        return _noted(container.tag)
    return say(
        "discard.done.neutralise",
        "{tag} is noted as thrown away. Before it goes down the drain {neutraliser} makes it "
        "harmless: {mix} {waste} 2 L says how much.",
        tag=container.tag,
        neutraliser=product.neutraliser,
    )


def _without_it(situation: Situation, tag: str) -> tuple[Move, ...]:
    """Whoever was about to test or to use it is led to another at once."""
    threads = situation.clinic.threads.values()
    testing = [
        Move(thread.id, BACK) for thread in threads if thread.top.memo.get("container") == tag
    ]
    cycles = situation.clinic.cycles
    choosing = [
        Move(thread.id, go("bath"))
        for thread in threads
        if thread.top.flow == "cycle"
        and thread.top.step in NEEDS_ITS_BATH
        and cycles[thread.cycle or ""].bath == tag
    ]
    return (*testing, *choosing)

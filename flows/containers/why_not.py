"""Why a container is not for use, in the words of STATE (S4, S5, S6)."""

from collections.abc import Mapping
from types import MappingProxyType

from flows.containers.limits import limit
from flows.parts.clinic import Container, Fitness
from flows.parts.moment import Moment
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry, Product
from flows.rules.container_life import NOT_VOUCHED_FOR, has_uses_left
from flows.rules.found_unfit import AT_FAULT, OF_TOPPED_UP, PROBE_IN_IT, TOPPED_UP
from flows.rules.recall import BECAUSE, FIGURE

_CONDEMNED: Mapping[str, Text] = MappingProxyType(
    {
        "strip_failed": say("state.why.strip", "a strip failed"),
        TOPPED_UP: limit(TOPPED_UP),
        AT_FAULT: limit(AT_FAULT),
        OF_TOPPED_UP: limit(OF_TOPPED_UP),
        NOT_VOUCHED_FOR: limit(NOT_VOUCHED_FOR),
        PROBE_IN_IT: say("state.why.probe", "a probe was in it"),
        BECAUSE[FIGURE]: say("state.why.figure", "a figure was wrong"),
    }
)


def why_not(container: Container, product: Product | None, moment: Moment) -> Text:
    """In a few words; *product* is what it holds, as it is used here, or None."""
    if container.fitness is not Fitness.GOOD:
        return _CONDEMNED.get(container.why) or say("state.why.condemned", "condemned")
    if container.because in {TOPPED_UP, OF_TOPPED_UP}:
        return limit(container.because)
    if moment.now >= container.discard_by:
        return say("state.why.date", "out of date")
    if isinstance(product, Chemistry) and has_uses_left(container.uses, product):
        return say("state.why.cleaning", "its cleaning is over")
    return limit("uses")

"""EMPTY where a new jug or new strips are asked for: there is none (S8)."""

from datetime import timedelta

from flows.containers.one_life import is_for_use
from flows.parts.decision import DONE, Decision, Saying
from flows.parts.events import ContainerDiscarded, CycleAbandoned, SaidBefore
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.strip import strips_at_hand

STRIPS = "strips"
"""The step that asks for the expiry of a new bottle of strips."""

_LATELY = timedelta(minutes=5)
"""So long EMPTY may be of what was just thrown away. Source: common practice, none published."""


def nothing_to_open(situation: Situation, moment: Moment) -> Decision:
    """S8: without supplies a cycle cannot be finished: it is given up, and both people know."""
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    if cycle is None:
        here = _for_use(situation, moment)
        if here:
            return Decision(says=(Saying(_still_here(here)),), then=DONE)
        text = say(
            "containers.nothing.opened",
            "All right, nothing is noted as opened. Without it no probe can be soaked: please "
            "tell your contact. When there is some: {open}, for strips {open} S.",
        )
        return Decision(says=(Saying(text),), then=DONE)
    if _may_be_of_what_was_thrown_away(situation, moment):
        asked = SaidBefore(situation.open.id, situation.frame.step)
        return Decision(events=(asked,), says=(Saying(_none_at_all(cycle.device)),))
    text = _cannot_be_finished(cycle.device, of_strips=situation.frame.step == STRIPS)
    given_up = CycleAbandoned(cycle.id, cycle.device, "no_supplies")
    return Decision(events=(given_up,), says=(Saying(text),), then=DONE)


def _may_be_of_what_was_thrown_away(situation: Situation, moment: Moment) -> bool:
    """S10: EMPTY is said of a jug too; so soon after its discard it may be said of that again."""
    gone = situation.past((ContainerDiscarded,), moment.now - _LATELY)
    is_mine = any(each.phone == situation.phone.id for each in gone)
    return is_mine and not situation.open.said_before


def _none_at_all(device: str) -> Text:
    return say(
        "containers.nothing.whether",
        "What was thrown away is noted. Is there no new one at all? {empty} once more gives "
        "{device} up: NOT READY. Else the expiry date of the new one, please.",
        device=device,
    )


def _cannot_be_finished(device: str, *, of_strips: bool) -> Text:
    if of_strips:
        return say(
            "containers.nothing.strips",
            "Then {device} cannot be finished now: rinse it, keep it apart. It is NOT READY. Your "
            "contact is told. When there are strips: {clean} {device}.",
            device=device,
        )
    return say(
        "containers.nothing",
        "Then {device} cannot be finished now: rinse it, keep it apart. It is NOT READY. Your "
        "contact is told. When there is solution: {clean} {device}.",
        device=device,
    )


def _still_here(tags: list[str]) -> Text:
    return say(
        "containers.nothing.needed",
        "All right, nothing is noted as opened. For use here: {tags}. If that will not do, tell "
        "your contact. For a new one: {open}, for strips {open} S.",
        tags=listed(tags),
    )


def _for_use(situation: Situation, moment: Moment) -> list[str]:
    """What there is without it: strips where strips were asked for, else the solution."""
    protocol, clinic = situation.protocol_here, situation.clinic
    if situation.frame.step == STRIPS:
        bottle = strips_at_hand(clinic, protocol.strip, moment.now)
        return [bottle.tag] if bottle else []
    product = protocol.chemistry.name
    filled = [each for each in clinic.containers.values() if each.product == product]
    return [each.tag for each in filled if is_for_use(situation, each, moment)]

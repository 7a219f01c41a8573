"""What comes to hand while somebody is asked to open one: nobody is left looking for another."""

from dataclasses import replace

from flows.containers.pour import lasts_its_soak
from flows.parts.clinic import Container, Cycle, Kind, Thread
from flows.parts.decision import BACK, Decision, Move, Next, Turn
from flows.parts.events import (
    JugActivated,
    JugOpened,
    Poured,
    StripBottleOpened,
    StripRead,
    StripsChecked,
)
from flows.parts.moment import Moment
from flows.parts.situation import Situation, protocol_of
from flows.protocols.model import CycleProtocol
from flows.rules.container_life import is_active
from flows.rules.strip import PASS, is_sound, strips_at_hand


def solution_comes(
    situation: Situation, event: JugOpened | JugActivated | Poured, moment: Moment
) -> Decision:
    """S8: whoever is asked for a new jug is asked anew what for: a bottle may do, or this jug."""
    return solution_at_hand(situation, event.tag, moment)


def solution_at_hand(situation: Situation, tag: str, moment: Moment) -> Decision:
    """The same of what *tag* is on, where that is for use now; it may have been on hold."""
    source = situation.clinic.containers.get(tag)
    if source is None or source.kind is Kind.BATH:
        return Decision()
    return Decision(
        moves=tuple(
            Move(thread.id, _anew(thread))
            for thread in _asked_elsewhere(situation, "jug")
            if _serves(situation, source, thread, moment)
        )
    )


def solution_passed(situation: Situation, event: StripRead, moment: Moment) -> Decision:
    """S4: a bottle is tested for all baths of it: no other cleaning waits for one more strip.

    It may have been on hold, and is at hand again.
    """
    at_hand = solution_at_hand(situation, event.container, moment)
    here = situation.thread.id if situation.thread else ""
    tested = situation.clinic.containers.get(event.container)
    if event.outcome != PASS or tested is None or tested.kind is not Kind.BOTTLE:
        return at_hand
    let_on = (
        Move(each.id, BACK)
        for each in situation.clinic.threads.values()
        if (each.top.flow, each.top.step) == ("strip_test", "dip")
        and each.top.memo.get("container") == tested.tag
        and each.cycle in situation.clinic.cycles
        and each.id != here
    )
    return replace(at_hand, moves=(*at_hand.moves, *let_on))


def strips_come(
    situation: Situation, _: StripBottleOpened | StripsChecked, moment: Moment
) -> Decision:
    """S8: whoever is asked for a new bottle of strips dips one of these."""
    return Decision(
        moves=tuple(
            Move(thread.id, BACK)
            for thread in _asked_elsewhere(situation, "strips")
            if strips_at_hand(situation.clinic, _meant(situation, thread)[1].strip, moment.now)
        )
    )


def _anew(thread: Thread) -> Next:
    first = thread.frames[0]
    return Next(Turn.RESTART, first.step, memo=first.memo)


def _asked_elsewhere(situation: Situation, step: str) -> list[Thread]:
    """Other conversations that wait for the label of a new one, and for something else's sake.

    What is seen to aside is finished first: the cycle that it interrupts is taken up after it.
    """
    return [
        each
        for each in situation.clinic.threads.values()
        if (each.top.flow, each.top.step) == ("containers", step)
        and len(each.frames) > 1
        and not _waits_for(each, situation.thread)
    ]


def _waits_for(thread: Thread, here: Thread | None) -> bool:
    if here is None:
        return False
    same_hands = (thread.phone, thread.person) == (here.phone, here.person)
    return thread.id == here.id or (same_hands and here.cycle is None)


def _meant(situation: Situation, thread: Thread) -> tuple[Cycle | None, CycleProtocol]:
    cycle = situation.clinic.cycles.get(thread.cycle or "")
    return cycle, protocol_of(cycle) if cycle else situation.todays


def _serves(situation: Situation, source: Container, thread: Thread, moment: Moment) -> bool:
    """S4, S5: for all that a jug is asked for; a bottle fills no other bottle."""
    cycle, protocol = _meant(situation, thread)
    fills_a_bottle = thread.frames[0].memo.get("kind") == Kind.BOTTLE.value
    return (
        source.product == protocol.chemistry.name
        and is_sound(source, moment.now)
        and is_active(source, protocol.chemistry)
        and lasts_its_soak(source, cycle, protocol, moment)
        and not (fills_a_bottle and source.kind is Kind.BOTTLE)
    )

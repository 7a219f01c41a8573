"""TEST: dip, wait, read; what is gone or out of use is dipped in no more (S4)."""

from dataclasses import replace
from datetime import datetime, timedelta

from flows.parts.clinic import Container, Frame, StripBottle
from flows.parts.decision import (
    BACK,
    Decision,
    Next,
    Opening,
    Saying,
    Turn,
    call,
    go,
    lacking,
    told,
)
from flows.parts.events import BellSet, BellStopped, ContainerHeld, Event, StripDipped
from flows.parts.moment import Moment
from flows.parts.reading import says_first, solution_named, strips_named
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say
from flows.protocols.model import StripProduct
from flows.rules import strip as rule
from flows.rules.soak import taken_for
from flows.strip_test import words
from flows.strip_test.digits import first_of_next
from flows.strip_test.put_right import may_be_put_right, put_right
from flows.strip_test.reading import READ, ring_strip
from flows.strip_test.said_with_dip import Dipped, read_dip
from flows.strip_test.told_by_test import told_by_test

__all__ = ["STRIP_TEST", "command", "may_be_put_right", "put_right", "ring_strip"]


def _product(situation: Situation) -> StripProduct:
    """The strip product for what is being tested: the cycle's own, or today's for that."""
    return situation.protocol_here.strip


# -- dip ----------------------------------------------------------------------------------------


def _ask_dip(situation: Situation) -> Text:
    return words.dip(situation, _product(situation), _example_dip(situation))


def _ask_dip_again(situation: Situation) -> Text:
    """A strip counts from its dip: of one that was dipped before nobody knows its time."""
    example = _example_dip(situation)
    if says_first(situation, "dip"):
        return words.dip_alone(example)
    return words.dip_again(example, situation.frame.memo.get("strips", ""))


def _example_dip(situation: Situation) -> str:
    """DIP T1; where a strip has just been dipped, with a number that the last one has not had."""
    tag, number = situation.frame.memo.get("container", ""), situation.frame.number
    word = situation.vocabulary.word("dip")
    return f"{word} {tag} {number}" if number else f"{word} {tag}"


def _after_dip(situation: Situation, said: Dipped, moment: Moment) -> Decision:
    tag = said.container
    led_back = _led_back(situation, tag, moment)
    if led_back:
        return led_back
    container = situation.clinic.containers[tag]
    other = taken_for(situation.clinic, tag, situation.open.cycle or "")
    if other and situation.open.cycle:
        return _is_taken(situation, tag, other)
    if container.product != situation.protocol_here.chemistry.name:
        return Decision(says=(Saying(words.not_made_for(situation, container)),))
    product, bottle = _product(situation), _bottle(situation, said.strips, moment)
    if bottle is None:
        return _of_no_good_bottle(situation, said, moment)
    test, sent_at = moment.ident("test"), situation.sent_at or moment.now
    read_from = moment.now + product.read_after
    read_until = moment.now + rule.longest_age(product)
    dipped = StripDipped(
        test,
        tag,
        bottle.tag,
        situation.open.cycle,
        read_from,
        read_until,
        lot=bottle.lot,
        sent_at=sent_at,
    )
    bell = BellSet(
        f"{test}.strip",
        "strip",
        _rings_at(situation, product, moment),
        thread=situation.open.id,
    )
    memo = {
        "container": tag,
        "test": test,
        "strips": dipped.strips,
        "first": str(first_of_next(situation.phone, moment.now)),
        "dipped": moment.now.isoformat(),
        "sent": sent_at.isoformat(),
    }
    before, why = _never_read(situation, container, moment)
    events = (*_bells_of_strips_left(situation), dipped, bell, *before)
    return Decision(events, why, Next(Turn.GO, "read", memo=memo))


def _led_back(situation: Situation, tag: str, moment: Moment) -> Decision | None:
    """S4: no strip is dipped in what is gone, out of date or condemned."""
    container = situation.clinic.containers.get(tag)
    if container and rule.may_be_tested(container, moment.now):
        if container.tag != _asked(situation) or _is_of_use(situation, container):
            return None
        return replace(told(words.no_longer_used(situation, container)), then=BACK)
    return replace(told(words.out_of_use(situation, tag)), then=BACK)


def _asked(situation: Situation) -> str:
    return situation.frame.memo.get("container", "")


def _is_of_use(situation: Situation, container: Container) -> bool:
    """S4: the site may have chosen another product since the strip was asked for."""
    return container.product == situation.protocol_here.chemistry.name


def _never_read(
    situation: Situation, container: Container, moment: Moment
) -> tuple[tuple[Event, ...], tuple[Saying, ...]]:
    """S4: strips of before that nobody has read are without a result; this one is read even so."""
    reads = rule.never_read(situation.clinic, container, moment.now, situation.zone)
    if not rule.second_no_result(container, *reads):
        return reads, ()
    held = ContainerHeld(container.tag, rule.NO_RESULT)
    return (*reads, held), (Saying(words.never_read(container.tag)),)


def _bells_of_strips_left(situation: Situation) -> tuple[BellStopped, ...]:
    """A strip of a bath recalled meanwhile is never read; its bell would ring for this one."""
    bells = situation.clinic.bells.values()
    return tuple(
        BellStopped(bell.id)
        for bell in bells
        if bell.kind == "strip" and bell.thread == situation.open.id
    )


def _is_taken(situation: Situation, tag: str, other: str) -> Decision:
    """S21: the strip of one cycle is never dipped in the bath of another."""
    text = say(
        "strip.taken",
        "{tag} is taken for {other}. One probe a bath: dip in {source} instead.",
        tag=tag,
        other=other,
        source=situation.frame.memo.get("container", ""),
    )
    return Decision(says=(Saying(text),))


def _rings_at(situation: Situation, product: StripProduct, moment: Moment) -> datetime:
    """The worker's own watch times the strip; the bell is a back-up (S4).

    Somebody on brief texts has it in the middle of the window, and only if no reading has come.
    """
    coached = situation.who.level == "coach"
    wait = product.read_after + (timedelta(0) if coached else product.read_within / 2)
    return moment.now + wait


def _of_no_good_bottle(situation: Situation, said: Dipped, moment: Moment) -> Decision:
    """S4: a strip of what judges nothing shows nothing; it stands in no other one's place."""
    product, asked = _product(situation), situation.frame.memo.get("strips", "")
    if said.strips != asked and _bottle(situation, asked, moment):
        return told(words.not_of_these(said.strips, asked))
    again = go("dip", number=situation.frame.number)
    return Decision(says=(Saying(words.another_strip(product)),), then=again)


def _bottle(situation: Situation, tag: str, moment: Moment) -> StripBottle | None:
    """The bottle of that tag, if its strips judge this, and it is still good (S4)."""
    bottle = situation.clinic.strips.get(tag)
    is_good = bottle and rule.is_usable(bottle, moment.now)
    return bottle if bottle and is_good and bottle.product == _product(situation).name else None


def _no_strips(situation: Situation, moment: Moment) -> Decision | None:
    """No strip bottle in date and checked: one is checked or opened, then this comes back.

    Of what bottle a strip is asked for is kept: what it says hangs on that one.
    """
    product = _product(situation)
    led_back = _led_back(situation, situation.frame.memo.get("container", ""), moment)
    if led_back or _bottle(situation, situation.frame.memo.get("strips", ""), moment):
        return led_back
    at_hand = rule.strips_at_hand(situation.clinic, product, moment.now)
    if at_hand:
        return Decision(then=go("dip", number=situation.frame.number, strips=at_hand.tag))
    unchecked = rule.strips_to_check(situation.clinic, product, moment.now)
    if unchecked:
        then = call("containers", "strips_check", back_to="dip", tag=unchecked.tag)
        return Decision(then=then)
    return Decision(then=call("containers", "strips", back_to="dip", kind="strips"))


DIP = Step(
    name="dip",
    asks=_ask_dip,
    again=_ask_dip_again,
    asks_brief=_ask_dip,
    reads=read_dip,
    decides=_after_dip,
    answers=("dip",),
    skips=_no_strips,
)


STRIP_TEST = flow("strip_test", DIP, READ)


def command(situation: Situation, moment: Moment) -> Decision:
    """TEST T1: a strip by itself, outside a cycle, of S1 if named; TEST S1: those themselves."""
    told_of = told_by_test(situation, moment)
    return lacking(told_of) if told_of else _test(situation, moment)


def _test(situation: Situation, moment: Moment) -> Decision:
    container, bottle = solution_named(situation), strips_named(situation)
    named = container or bottle
    if named is None:
        chemistry = situation.todays.chemistry
        none = rule.none_exists(chemistry) if chemistry.is_single_use else None
        return told(none) if none else lacking(words.which())
    protocol = situation.protocol_for(named.product)
    if protocol is None:
        return told(words.no_longer_used(situation, named))
    if protocol.chemistry.is_single_use:
        return told(rule.none_exists(protocol.chemistry))
    memo = {"product": named.product}
    if isinstance(named, StripBottle):
        return _opens("containers", "strips_check", memo | {"tag": named.tag})
    if not rule.may_be_tested(named, moment.now):
        return told(words.out_of_use(situation, named.tag))
    of = {"strips": bottle.tag} if bottle else {}
    return _opens("strip_test", "dip", memo | {"container": named.tag} | of)


def _opens(flow_name: str, step: str, memo: dict[str, str]) -> Decision:
    return Decision(opens=Opening((Frame(flow_name, step, memo),)))

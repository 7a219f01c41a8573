"""TEST: dip, wait, read; outside its window it is no result (S4)."""

from dataclasses import replace
from datetime import datetime, timedelta

from flows.parts.clinic import DOUBLED_WITHIN, Bell, Container, Frame, StripBottle
from flows.parts.decision import BACK, Decision, Next, Opening, Saying, Turn, call, go, told
from flows.parts.events import BellSet, BellStopped, ContainerHeld, StripDipped, StripRead
from flows.parts.moment import Moment
from flows.parts.reading import solution_named, strips_named, typed
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say
from flows.protocols.model import StripProduct
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.typed import Typed
from flows.rules import strip as rule
from flows.rules.good_to import good_to
from flows.rules.recall import set_aside
from flows.rules.recall_words import no_test_of
from flows.rules.soak import taken_for
from flows.strip_test import words

SETS_OF_DIGITS = 3
"""The three readings are 1 2 3. For a strip soon after another on the same phone they are 4 5 6,
then 7 8 9, so that a reading that a carrier doubles cannot answer for the next strip (S10)."""


def _product(situation: Situation) -> StripProduct:
    """The strip product for what is being tested: the cycle's own, or today's for that."""
    return situation.protocol_here.strip


def _container(situation: Situation) -> Container | None:
    return situation.clinic.containers.get(situation.frame.memo.get("container", ""))


# -- dip ----------------------------------------------------------------------------------------


def _ask_dip(situation: Situation) -> Text:
    return words.dip(situation, _product(situation), _example_dip(situation))


def _ask_dip_again(situation: Situation) -> Text:
    return say(
        "strip.dip.again",
        "As the strip leaves the liquid, reply {dip} and where it was dipped: {example}.",
        example=_example_dip(situation),
    )


def _example_dip(situation: Situation) -> str:
    """DIP T1; where a strip has just been dipped, with a number that the last one has not had."""
    tag, number = situation.frame.memo.get("container", ""), situation.frame.number
    word = situation.vocabulary.word("dip")
    return f"{word} {tag} {number}" if number else f"{word} {tag}"


def _read_dip(situation: Situation) -> str | NotUnderstood:
    """The container that was named; DIP alone means the one that was asked for."""
    said = typed(situation)
    if not said.words:
        return NotUnderstood("empty")
    word = choose(_first(said), {situation.vocabulary.word("dip"): "dip"})
    if isinstance(word, NotUnderstood):
        return word
    number = situation.frame.number
    if number and str(number) not in said.words:
        return NotUnderstood("bell number")
    container = solution_named(situation)
    if len(said.without(str(number)).words) > 1 and container is None:
        return NotUnderstood("word")
    return container.tag if container else situation.frame.memo.get("container", "")


def _first(said: Typed) -> Typed:
    return said.without(*said.words[1:])


def _after_dip(situation: Situation, tag: str, moment: Moment) -> Decision:
    container = situation.clinic.containers[tag]
    if not rule.may_be_tested(container, moment.now):
        return replace(_out_of_use(situation, tag), then=BACK)
    other = taken_for(situation.clinic, tag, situation.open.cycle or "")
    if other and situation.open.cycle:
        return _is_taken(situation, tag, other)
    if container.product != situation.protocol_here.chemistry.name:
        return Decision(says=(Saying(words.not_made_for(situation, container)),))
    product, bottle = _product(situation), _bottle(situation, moment)
    if bottle is None:
        again = go("dip", number=situation.frame.number)
        return Decision(says=(Saying(words.another_strip(product)),), then=again)
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
        "first": str(_digits(situation, moment)),
        "dipped": moment.now.isoformat(),
        "sent": sent_at.isoformat(),
    }
    events = (*_bells_of_strips_left(situation), dipped, bell)
    return Decision(events=events, then=Next(Turn.GO, "read", memo=memo))


def _bells_of_strips_left(situation: Situation) -> tuple[BellStopped, ...]:
    """A strip of a bath thrown away meanwhile is never read; its bell would ring for this one."""
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


def _digits(situation: Situation, moment: Moment) -> int:
    phone = situation.phone
    soon = phone.tested_at is not None and moment.now - phone.tested_at < DOUBLED_WITHIN
    return 1 + 3 * (phone.tests % SETS_OF_DIGITS) if soon else 1


def _bottle(situation: Situation, moment: Moment) -> StripBottle | None:
    """The bottle that a strip was asked for of, if it is still good (S4)."""
    bottle = situation.clinic.strips.get(situation.frame.memo.get("strips", ""))
    return bottle if bottle and rule.is_usable(bottle, moment.now) else None


def _no_strips(situation: Situation, moment: Moment) -> Decision | None:
    """No strip bottle in date and checked: one is checked or opened, then this comes back.

    Of what bottle a strip is asked for is kept: what it says hangs on that one.
    """
    product = _product(situation)
    if _bottle(situation, moment):
        return None
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
    reads=_read_dip,
    decides=_after_dip,
    answers=("dip",),
    skips=_no_strips,
)


# -- read ---------------------------------------------------------------------------------------


def _ask_read(situation: Situation) -> Text:
    return words.read(situation, _product(situation), _first_digit(situation))


def _ask_read_again(situation: Situation) -> Text:
    return words.read_again(situation, _product(situation), _first_digit(situation))


def _first_digit(situation: Situation) -> int:
    return int(situation.frame.memo.get("first", "1"))


def _read_colour(situation: Situation) -> str | NotUnderstood:
    first = _first_digit(situation)
    return choose(
        typed(situation),
        {str(first): rule.PASS, str(first + 1): rule.FAIL, str(first + 2): "unsure"},
    )


def _after_read(situation: Situation, seen: str, moment: Moment) -> Decision:
    container = _container(situation)
    if container is None or not rule.may_be_tested(container, moment.now):
        return replace(_out_of_use(situation, situation.frame.memo["container"]), then=BACK)
    read = _strip_read(situation, seen, container, moment)
    if read.outcome == rule.NO_RESULT:
        return _no_result(situation, read, container, moment)
    if read.outcome == rule.FAIL:
        return Decision(events=(read,), says=(Saying(_failed(container.tag)),), then=BACK)
    if situation.open.cycle:
        return Decision(events=(read,), then=BACK)
    until = good_to(read.good_until or moment.now, situation.zone)
    text = words.passed(situation, container, until)
    return Decision(events=(read,), says=(Saying(text),), then=BACK)


def _failed(tag: str) -> Text:
    return say(
        "strip.failed",
        "{tag} FAILED. Do not use it, do not test it again. Tip nothing back. Label it NOT FOR "
        "USE, then text {discard} {tag}. Your contact is told.",
        tag=tag,
    )


def _strip_read(
    situation: Situation, seen: str, container: Container, moment: Moment
) -> StripRead:
    product = _product(situation)
    memo = situation.frame.memo
    strips = situation.clinic.strips.get(memo.get("strips", ""))
    age = _age(situation, moment)
    judged = rule.judge(
        seen,
        age,
        product,
        strips_good=strips is not None and rule.is_usable(strips, moment.now),
        own_watch=rule.trusts_own_watch(situation.site.choices),
    )
    passed = judged.outcome == rule.PASS
    return StripRead(
        test=memo.get("test", ""),
        container=container.tag,
        strips=memo.get("strips", ""),
        cycle=situation.open.cycle,
        outcome=judged.outcome,
        seen=seen,
        because=judged.because,
        age=age.least,
        age_proved=rule.age_is_proved(age, product),
        day=situation.local_day(moment.now),
        good_until=rule.good_until(container, moment.now, situation.zone) if passed else None,
        lot=strips.lot if strips else "",
        age_most=age.most,
    )


def _age(situation: Situation, moment: Moment) -> rule.Age:
    """Between the two texts: from the dip as it was handled, and as it may have been sent.

    A reading was made before the gateway had it, however late it was fetched. A dip of before an
    update is as it was handled.
    """
    memo = situation.frame.memo
    dipped = datetime.fromisoformat(memo["dipped"])
    sent = datetime.fromisoformat(memo.get("sent", memo["dipped"]))
    read = situation.sent_at or moment.now
    return rule.Age(least=read - dipped, most=read - sent)


def _too_quick(situation: Situation) -> timedelta:
    """S10: only a pass is asked about: bad news never is."""
    trusted = rule.trusts_own_watch(situation.site.choices)
    if trusted and _read_colour(situation) == rule.PASS:
        return rule.too_quick_by_watch(_product(situation))
    return timedelta(0)


def _no_result(
    situation: Situation, read: StripRead, container: Container, moment: Moment
) -> Decision:
    """S4: a reading outside the window may be repeated once a day; the second holds the liquid."""
    if rule.second_no_result(container, read):
        text = say(
            "strip.held",
            "{tag}: again no result. It is on hold and your contact is told. Use another one.",
            tag=container.tag,
        )
        held = ContainerHeld(container.tag, "no_result")
        return Decision(events=(read, held), says=(Saying(text),), then=BACK)
    text = words.no_result(_product(situation), _reason(read.because))
    again = go("dip", container=container.tag, number=moment.two_digits("dip"))
    return Decision(events=(read,), says=(Saying(text),), then=again)


def _reason(because: str) -> Text:
    if because == "early":
        return say("strip.early", "read too early.")
    if because == "late":
        return say("strip.late", "read too late.")
    return say("strip.strips", "the strip bottle is not good.")


READ = Step(
    name="read",
    asks=_ask_read,
    again=_ask_read_again,
    asks_brief=_ask_read,
    reads=_read_colour,
    decides=_after_read,
    at_least=_too_quick,
    waits=lambda situation: _product(situation).read_after,
)


def ring_strip(situation: Situation, bell: Bell, late: timedelta) -> Decision:
    """The back-up bell of a strip: read it now. One that comes too late to help is not rung."""
    if situation.frame.step != "read" or late > _product(situation).read_within:
        return Decision()
    product = _product(situation)
    text = _ask_read_again(situation)
    return Decision(
        says=(
            Saying(
                text,
                thread=situation.open.id,
                question=situation.open.question,
                bell=bell.id,
                good_for=product.read_within,
            ),
        )
    )


STRIP_TEST = flow("strip_test", DIP, READ)


def command(situation: Situation, moment: Moment) -> Decision:
    """TEST T1: a strip by itself, outside a cycle; TEST S1: the strips themselves."""
    container, bottle = solution_named(situation), strips_named(situation)
    named = bottle or container
    if named is None:
        chemistry = situation.todays.chemistry
        return told(rule.none_exists(chemistry) if chemistry.is_single_use else words.which())
    protocol = situation.protocol_for(named.product)
    if protocol is None:
        return told(words.no_longer_used(named))
    if protocol.chemistry.is_single_use:
        return told(rule.none_exists(protocol.chemistry))
    memo = {"product": named.product}
    if isinstance(named, StripBottle):
        return _opens("containers", "strips_check", memo | {"tag": named.tag})
    if not rule.may_be_tested(named, moment.now):
        return _out_of_use(situation, named.tag)
    return _opens("strip_test", "dip", memo | {"container": named.tag})


def _opens(flow_name: str, step: str, memo: dict[str, str]) -> Decision:
    return Decision(opens=Opening((Frame(flow_name, step, memo),)))


def _out_of_use(situation: Situation, tag: str) -> Decision:
    container = situation.clinic.containers.get(tag)
    if container and set_aside(situation.clinic, container):
        return told(no_test_of(tag))
    text = say(
        "strip.not_this",
        "{tag} is out of use: no strip can bring it back. Text {discard} {tag} and take another.",
        tag=tag,
    )
    return Decision(says=(Saying(text),))

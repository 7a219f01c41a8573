"""The colour of a strip: pass, fail, or no result outside its window (S4)."""

from dataclasses import replace
from datetime import datetime, timedelta

from flows.parts.clinic import Bell, Container
from flows.parts.decision import BACK, Decision, Saying, go, told
from flows.parts.events import ContainerHeld, StripRead
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.state.dips import dip_of
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.protocols.model import StripProduct
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.tags import TAG
from flows.replies.typed import Typed, fold
from flows.rules import strip as rule
from flows.rules.good_to import good_to
from flows.strip_test import words
from flows.strip_test.in_words import FAILS, tells_a_fail
from flows.strip_test.other_bottle import OTHER_BOTTLE, is_of_another_bottle
from flows.strip_test.wavers import wavers


def _product(situation: Situation) -> StripProduct:
    """S4: that of the strips that were dipped, whatever this site has chosen since."""
    dipped = situation.clinic.strips.get(situation.frame.memo.get("strips", ""))
    return situation.strip(dipped.product) if dipped else situation.protocol_here.strip


def _ask_read(situation: Situation) -> Text:
    return words.read(situation, _product(situation), _first_digit(situation))


def _ask_read_again(situation: Situation) -> Text:
    return words.read_again(situation, _product(situation), _first_digit(situation))


def _first_digit(situation: Situation) -> int:
    return int(situation.frame.memo.get("first", "1"))


def _read_colour(situation: Situation) -> str | NotUnderstood:
    first, tag = _first_digit(situation), situation.frame.memo["container"]
    said = typed(situation)
    where = [word for word in said.words if (named := TAG.fullmatch(word)) and named[1] == tag]
    if is_of_another_bottle(situation):
        return OTHER_BOTTLE
    if wavers(said.without(*where), first, first + 1):
        return "unsure"
    read = choose(
        said.without(*where, "IN", "FOR", *_its_colour(situation, said))
        if where
        else said.without(*_its_colour(situation, said)),
        {str(first): rule.PASS, str(first + 1): rule.FAIL, str(first + 2): "unsure"},
    )
    is_miss = isinstance(read, NotUnderstood)
    if is_miss and tells_a_fail(said.without(*where), _product(situation), first):
        return NotUnderstood(FAILS, near=f"{tag} {first + 1}")
    return read


def _its_colour(situation: Situation, said: Typed) -> list[str]:
    """What the question itself calls the digit beside it: 1 ALL PURPLE; 1 BLUE is unclear."""
    first, product = str(_first_digit(situation)), _product(situation)
    fail = str(int(first) + 1)
    digits = {word for word in said.words if word.isdecimal()}
    colours = {first: product.pass_colour, fail: product.fail_colour}
    return fold(colours.get(digits.pop(), "")).split() if len(digits) == 1 else []


def _after_read(situation: Situation, seen: str, moment: Moment) -> Decision:
    """S4: a reading is taken whatever has become of its container meanwhile; a fail above all.

    What is gone, out of date or condemned is no fitter by a pass.
    """
    tag = situation.frame.memo["container"]
    container = situation.clinic.containers.get(tag)
    if container is None:  # forgotten before an update: nothing here rests on it
        return replace(told(words.gone(tag)), then=BACK)
    read = _strip_read(situation, seen, container, moment)
    if read.outcome == rule.FAIL:
        return Decision(events=(read,), says=(Saying(words.failed(container)),), then=BACK)
    if not rule.may_be_tested(container, moment.now):
        text = words.out_of_use(situation, tag)
        return Decision(events=(read,), says=(Saying(text),), then=BACK)
    if read.outcome == rule.NO_RESULT:
        return _no_result(situation, read, container, moment)
    if situation.open.cycle:
        return Decision(events=(read,), then=BACK)
    until = good_to(read.good_until or moment.now, situation.zone)
    text = words.passed(situation, container, until)
    return Decision(events=(read,), says=(Saying(text),), then=BACK)


def _strip_read(
    situation: Situation, seen: str, container: Container, moment: Moment
) -> StripRead:
    product, memo = _product(situation), situation.frame.memo
    strips = situation.clinic.strips.get(memo.get("strips", ""))
    age = _age(situation, moment)
    judged = _judged(situation, seen, container, age)
    passed, read_at = judged.outcome == rule.PASS, situation.sent_at or moment.now
    return StripRead(
        test=memo.get("test", ""),
        container=container.tag,
        strips=memo.get("strips", ""),
        cycle=situation.open.cycle,
        outcome=judged.outcome,
        seen=rule.UNSURE if seen == OTHER_BOTTLE else seen,
        because=judged.because,
        age=age.least,
        age_proved=rule.age_is_proved(age, product),
        # It was read before the gateway had it: brought after midnight it is of the day before.
        day=situation.local_day(read_at),
        good_until=rule.good_until(container, read_at, situation.zone) if passed else None,
        lot=strips.lot if strips else "",
        age_most=age.most,
    )


def _judged(situation: Situation, seen: str, container: Container, age: rule.Age) -> rule.Judged:
    """As its strips were at the dip; one that counts as never read can only fail any more."""
    if seen == OTHER_BOTTLE:
        return rule.Judged(rule.NO_RESULT, OTHER_BOTTLE)
    memo = situation.frame.memo
    dipped = datetime.fromisoformat(memo["dipped"])
    judged = rule.judge(
        seen,
        age,
        _product(situation),
        strips_good=rule.strips_stand(situation.clinic, memo.get("strips", ""), dipped),
        own_watch=rule.trusts_own_watch(situation.site.choices),
    )
    if judged.outcome == rule.PASS and dip_of(container, memo.get("test", "")) is None:
        return rule.Judged(rule.NO_RESULT, rule.why_late(age, _product(situation)))
    return judged


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
    """S4: a reading outside the window may be repeated once a day; the second holds the liquid.

    One that counts as never read has been counted.
    """
    if dip_of(container, read.test) and rule.second_no_result(container, read):
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
    if because == rule.EARLY:
        return say("strip.early", "read too early.")
    if because == rule.LATE:
        return say("strip.late", "read too late.")
    if because == OTHER_BOTTLE:
        return say("strip.other_bottle", "it was of another bottle.")
    if because == rule.DIP_CARRIED:
        return say("strip.dip_carried", "your {dip} came too late.")
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

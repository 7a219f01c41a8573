"""A bottle of strips is opened, and its quality control done (S4)."""

from datetime import date, timedelta

from flows.containers.doubts import is_in_doubt, not_all_passed
from flows.containers.label import label, next_tag
from flows.containers.opened import (
    earlier_for_twins,
    expiry_step,
    lot_step,
    no_later_than_twins,
    refuse_recalled,
    refuse_twin,
)
from flows.parts.clinic import Batch, Fitness, Kind, StripBottle
from flows.parts.decision import AGAIN, BACK, DONE, Decision, Next, Saying, Turn, go
from flows.parts.events import (
    ContainerHeld,
    Event,
    ReleaseWithdrawn,
    StripBottleOpened,
    StripsChecked,
)
from flows.parts.moment import Moment
from flows.parts.reading import word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.protocols.model import StripProduct
from flows.replies import NotUnderstood
from flows.rules import strip_words
from flows.rules.container_life import is_active, life_of_strips
from flows.rules.good_to import good_to
from flows.rules.recall import set_aside
from flows.rules.recall_words import no_test_of
from flows.rules.strip import fallen_with_strips, is_sound, is_usable, lacks_its_check
from flows.rules.twins import in_doubt_with, is_twin, out_of_use, twins_of


def _ask_strips(situation: Situation) -> Text:
    if len(situation.open.frames) == 1:
        return say(
            "containers.strips.opened",
            "New strip bottle for {product}, opened now: its expiry date? Like 270331. None to "
            "open: {empty}.",
            product=situation.protocol_here.chemistry.title,
        )
    return say(
        "containers.strips.expiry",
        "No strips in date. New strip bottle for {product}, opened now: its expiry date? Like "
        "270331. None to open: {empty}.",
        product=situation.protocol_here.chemistry.title,
    )


def _after_strips_lot(situation: Situation, lot: str, moment: Moment) -> Decision:
    """S5: on the record with its label as it is opened; it judges once its control has passed."""
    protocol, expires = situation.protocol_here, situation.frame.memo["expires"]
    strip, batch = protocol.strip, Batch(protocol.strip.name, lot)
    others = _same_lot(situation, batch)
    refused = refuse_recalled(situation, batch, "strips") or refuse_twin(situation, others, moment)
    if refused:
        return refused
    opened = situation.first_asked
    own = life_of_strips(date.fromisoformat(expires), opened, strip, situation.zone)
    tag = next_tag(situation, "S")
    life, why = no_later_than_twins(tag, own, others)
    shortened, told = earlier_for_twins(tag, life, batch, others)
    bottle = StripBottleOpened(
        tag=tag,
        product=strip.name,
        lot=lot,
        expires=date.fromisoformat(expires),
        opened=opened,
        discard_by=life.moment,
        checked=not _asks_for_a_control(strip),
        because=life.because,
    )
    words = label(tag, _strips_for(protocol.chemistry.title), lot, life, situation.zone)
    then = BACK if bottle.checked else go("strips_check", tag=tag)
    return Decision((bottle, *shortened), (*why, *told, Saying(words)), then)


def _same_lot(situation: Situation, batch: Batch) -> list[StripBottle]:
    return [each for each in situation.clinic.strips.values() if is_twin(each, batch)]


def _strips_for(product: str) -> Text:
    """No bottle of it: what the strips are for."""
    return say("containers.strips.contents", "strips for {product}", product=product)


# -- quality control ----------------------------------------------------------------------------


def _asks_for_a_control(strip: StripProduct) -> bool:
    return bool(strip.qc_positive or strip.qc_negative)


def _strip(situation: Situation) -> StripProduct:
    """S4: these very strips, whatever this site has chosen since they were asked about."""
    return situation.strip(situation.clinic.strips[situation.frame.memo["tag"]].product)


def _ask_strips_check(situation: Situation) -> Text:
    strip, memo = _strip(situation), situation.frame.memo
    product = situation.protocol_here.chemistry.title
    if not memo.get("sample"):
        return say(
            "containers.strips.check.none",
            "To test the strips of {tag} good {product} is needed, and none here is for use. New "
            "jug: {open}; then I ask again. Not now: {later}.",
            tag=memo["tag"],
            product=product,
        )
    return say(
        "containers.strips.check",
        "Test the strips of {tag}: {count} in good {product} from {source} must all pass, "
        "{diluted} in half water must all fail. Just so: {good}. Else {unsure}; not now {later}.",
        tag=memo["tag"],
        count=strip.qc_positive,
        product=product,
        source=memo["sample"],
        diluted=strip.qc_negative,
    )


def _sample(situation: Situation, moment: Moment) -> str:
    """S4: the tag of what is good for certain, before any bath and the longest; empty for none."""
    chemistry = situation.protocol_here.chemistry
    fit = [
        each
        for each in situation.clinic.containers.values()
        if each.product == chemistry.name
        and is_sound(each, moment.now)
        and is_active(each, chemistry)
    ]
    best = max(fit, key=lambda each: (each.kind is not Kind.BATH, each.discard_by), default=None)
    return best.tag if best else ""


def _other_sample(situation: Situation, moment: Moment) -> Decision | None:
    """What is asked for names a sample that is for use when it is put."""
    named = situation.frame.memo.get("sample", "")
    container = situation.clinic.containers.get(named)
    if container and is_sound(container, moment.now):
        return None
    other = _sample(situation, moment)
    return None if other == named else Decision(then=go("strips_check", sample=other))


def _read_strips_check(situation: Situation) -> str | NotUnderstood:
    """S4: NOT GOOD, ONE FAILED, 2 OF 3 PASSED is UNSURE; 3 PASSED 3 FAILED may be just so."""
    tag = situation.frame.memo["tag"]
    if is_in_doubt(situation, tag) or not_all_passed(situation):
        return "unsure"
    return word_of(situation, ("good", "unsure", "later"))


def _after_strips_check(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "later":
        return _later(situation)
    if not situation.frame.memo.get("sample"):
        return Decision(then=AGAIN)
    bottle = situation.clinic.strips[situation.frame.memo["tag"]]
    twin = out_of_use(twins_of(situation.clinic, bottle), situation.clinic, moment.now)
    if said == "good" and twin and lacks_its_check(bottle, moment.now):
        return Decision(says=(Saying(_may_be(bottle.tag, twin.tag)),))
    return _checked(situation, moment, passed=said == "good")


def _later(situation: Situation) -> Decision:
    """In a cleaning once the detergent is over; else whatever the strips were needed for waits."""
    cycle, first = (
        situation.clinic.cycles.get(situation.open.cycle or ""),
        situation.open.frames[0],
    )
    if cycle:
        waits = Next(Turn.RESTART, "await_detergent", memo=first.memo)
        return Decision(then=waits if cycle.detergent else BACK)
    text = say(
        "containers.strips.later",
        "All right. Until they are tested the strips of {tag} judge nothing. Later: {test} {tag}.",
        tag=situation.frame.memo["tag"],
    )
    return Decision(says=(Saying(text),), then=DONE)


def _useless(tag: str) -> Text:
    return say(
        "containers.strips.bad",
        "Then none of those strips, {tag}, may be used: throw the bottle away, text {discard} "
        "{tag}, open another.",
        tag=tag,
    )


def _checked(situation: Situation, moment: Moment, *, passed: bool) -> Decision:
    """A bottle that was opened without its control has it now; if nothing came between.

    Of two who have tested it the worse counts, though it has judged meanwhile (S4).
    """
    bottle = situation.clinic.strips[situation.frame.memo["tag"]]
    return decided(situation, bottle, _strip(situation), moment, passed=passed)


def decided(
    situation: Situation, bottle: StripBottle, strip: StripProduct, moment: Moment, *, passed: bool
) -> Decision:
    """The same of any *bottle*: what fell with it is told in the same answer."""
    after_all = not passed and bottle.checked and bottle.fitness is not Fitness.CONDEMNED
    if not after_all and not lacks_its_check(bottle, moment.now):
        return Decision(says=(Saying(_stands(situation, bottle, moment)),), then=BACK)
    checked = StripsChecked(bottle.tag, bottle.lot, passed, strip.qc_positive, strip.qc_negative)
    words = _good_to(situation, bottle) if passed else _useless(bottle.tag)
    clinic = situation.clinic
    twins = () if passed else in_doubt_with(clinic, bottle)
    judged = (*([bottle] if after_all else []), *(clinic.strips[each.tag] for each in twins))
    of_each_lot = {each.lot: each for each in judged}.values()
    fell = [
        event
        for each in of_each_lot
        for event in fallen_with_strips(clinic, each, moment.ident(f"case/strips/{each.tag}"))
    ]
    events = tuple(dict.fromkeys(fell))
    told = told_in_vain(situation, bottle.tag, events, moment)
    again = tuple(Saying(tested_again(each.tag, bottle.tag)) for each in twins)
    return Decision((checked, *twins, *events), (Saying(words), *again, *told), BACK)


def tested_again(tag: str, twin: str) -> Text:
    """S4: it may be what has failed, and waits for its control."""
    return say(
        "containers.strips.twin.again",
        "{tag} may be {other}, no lot tells them apart: {tag} judges nothing until it is tested "
        "again. When {other} is thrown away, text {discard} {other}, then {test} {tag}.",
        tag=tag,
        other=twin,
    )


def _may_be(tag: str, twin: str) -> Text:
    """S4: it may have been tested under another tag too: of two who have, the worse counts."""
    return say(
        "containers.strips.twin",
        "{other} is out of use, and no lot tells {tag} from it. Another bottle? Throw {other} "
        "away, text {discard} {other}, then {good} again. Else {unsure}.",
        tag=tag,
        other=twin,
    )


def told_in_vain(
    situation: Situation, tag: str, events: tuple[Event, ...], moment: Moment
) -> tuple[Saying, ...]:
    """S4: what every phone of the site hears of *events*: they fell with the strips of *tag*."""
    held = [each.tag for each in events if isinstance(each, ContainerHeld)]
    labels = [each.device for each in events if isinstance(each, ReleaseWithdrawn)]
    texts = [strip_words.strips_not_good(tag, held)] if held else []
    texts += [strip_words.ready_in_vain(tag, labels)] if labels else []
    bell = f"{tag}.{moment.ident('in vain')}"
    phones = situation.clinic.phones
    return tuple(Saying(each, to=phone, bell=bell) for each in texts for phone in phones)


def _good_to(situation: Situation, bottle: StripBottle) -> Text:
    return say(
        "containers.strips.good",
        "{tag} is tested: its strips are good to {good_to}.",
        tag=bottle.tag,
        good_to=good_to(bottle.discard_by, situation.zone),
    )


def _stands(situation: Situation, bottle: StripBottle, moment: Moment) -> Text:
    if is_usable(bottle, moment.now):
        return _good_to(situation, bottle)
    if set_aside(situation.clinic, bottle):
        return no_test_of(bottle.tag)
    return say(
        "containers.strips.out_of_use",
        "{tag} is out of use: no test can bring it back. Text {discard} {tag}, open another.",
        tag=bottle.tag,
    )


def _none_due(situation: Situation, moment: Moment) -> Decision | None:
    """No control where the strips ask for none; nor of a bottle that is past it or has had it.

    S10: to ask for the control of one bottle is another kind of question than to open one.
    """
    memo = situation.frame.memo
    bottle = situation.clinic.strips[memo["tag"]]
    if not lacks_its_check(bottle, moment.now):
        return Decision(says=(Saying(_stands(situation, bottle, moment)),), then=BACK)
    if not _asks_for_a_control(_strip(situation)):
        return _checked(situation, moment, passed=True)
    if memo.get("kind") != bottle.tag:
        return Decision(then=go("strips_check", kind=bottle.tag))
    return _other_sample(situation, moment)


def _check_takes(situation: Situation) -> timedelta:
    """S10: each strip is dipped by itself; then they lie side by side until they can be read.

    Source: the figures of the strip's own file.
    """
    strip = _strip(situation)
    return (strip.qc_positive + strip.qc_negative) * strip.dip_for + strip.read_after


STRIPS = expiry_step("strips", _ask_strips, "strips_lot")
STRIPS_LOT = lot_step("strips_lot", _after_strips_lot, "strips")
STRIPS_CHECK = Step(
    name="strips_check",
    asks=_ask_strips_check,
    again=_ask_strips_check,
    asks_brief=_ask_strips_check,
    reads=_read_strips_check,
    decides=_after_strips_check,
    answers=("good", "unsure", "later"),
    at_least=_check_takes,
    waits=_check_takes,
    skips=_none_due,
    lapsed=_other_sample,
    ages=True,
)

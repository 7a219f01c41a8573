"""A bottle of strips is opened, and its quality control done (S4)."""

from datetime import date, timedelta

from flows.containers.label import label, next_tag
from flows.containers.opened import (
    earlier_for_twins,
    expiry_step,
    lot_step,
    no_later_than_twins,
    refuse_recalled,
    refuse_twin,
)
from flows.parts.clinic import Batch, Fitness, StripBottle
from flows.parts.decision import BACK, STAY, Decision, Next, Saying, go
from flows.parts.events import (
    ContainerHeld,
    Event,
    ReleaseWithdrawn,
    StripBottleOpened,
    StripsChecked,
)
from flows.parts.moment import Moment
from flows.parts.reading import one_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, Value, say
from flows.rules import strip_words
from flows.rules.container_life import life_of_strips
from flows.rules.good_to import good_to
from flows.rules.recall import set_aside
from flows.rules.recall_words import no_test_of
from flows.rules.strip import fallen_with_strips, is_usable, lacks_its_check
from flows.rules.twins import is_twin


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
    return _refused(situation, lot, moment) or Decision(then=go("strips_check", lot=lot))


def _refused(situation: Situation, lot: str, moment: Moment, then: Next = STAY) -> Decision | None:
    batch = Batch(situation.protocol_here.strip.name, lot)
    others = _same_lot(situation, lot)
    refused = refuse_recalled(situation, batch, "strips")
    return refused or refuse_twin(situation, others, moment, then)


def _same_lot(situation: Situation, lot: str) -> list[StripBottle]:
    batch = Batch(situation.protocol_here.strip.name, lot)
    return [each for each in situation.clinic.strips.values() if is_twin(each, batch)]


# -- quality control ----------------------------------------------------------------------------


def _ask_strips_check(situation: Situation) -> Text:
    strip = situation.protocol_here.strip
    values: dict[str, Value] = {
        "count": strip.qc_positive,
        "diluted": strip.qc_negative,
        "product": situation.protocol_here.chemistry.title,
    }
    tag = situation.frame.memo.get("tag")
    if tag:
        return say(
            "containers.strips.check.tag",
            "Test the strips of {tag}: {count} in good {product} must all pass, {diluted} in half "
            "water must all fail. Just so: {good}. Else: {unsure}.",
            tag=tag,
            **values,
        )
    return say(
        "containers.strips.check",
        "Test the new strips: {count} in good {product} must all pass, {diluted} in half water "
        "must all fail. Just so: {good}. Else: {unsure}.",
        **values,
    )


def _after_strips_check(situation: Situation, said: str, moment: Moment) -> Decision:
    if "tag" in situation.frame.memo:
        return _checked(situation, moment, passed=said == "good")
    return _opened(situation, moment, passed=said == "good")


def _opened(situation: Situation, moment: Moment, *, passed: bool) -> Decision:
    protocol, memo = situation.protocol_here, situation.frame.memo
    refused = _refused(situation, memo["lot"], moment, go("strips_lot"))
    if refused:  # since its lot was told
        return refused
    opened = situation.first_asked
    expires = date.fromisoformat(memo["expires"])
    own = life_of_strips(expires, opened, protocol.strip, situation.zone)
    tag = next_tag(situation, "S")
    others = _same_lot(situation, memo["lot"])
    life, why = no_later_than_twins(tag, own, others)
    batch = Batch(protocol.strip.name, memo["lot"])
    shortened, told = earlier_for_twins(tag, life, batch, others)
    bottle = StripBottleOpened(
        tag=tag,
        product=protocol.strip.name,
        lot=memo["lot"],
        expires=expires,
        opened=opened,
        discard_by=life.moment,
        checked=passed,
        because=life.because,
        qc_good=protocol.strip.qc_positive,
        qc_diluted=protocol.strip.qc_negative,
    )
    if not passed:
        return Decision(
            events=(bottle, *shortened), says=(*told, Saying(_useless(tag))), then=go("strips")
        )
    words = label(tag, _strips_for(protocol.chemistry.title), memo["lot"], life, situation.zone)
    return Decision((bottle, *shortened), (*why, *told, Saying(words)), then=BACK)


def _strips_for(product: str) -> Text:
    """No bottle of it: what the strips are for."""
    return say("containers.strips.contents", "strips for {product}", product=product)


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
    after_all = not passed and bottle.checked and bottle.fitness is not Fitness.CONDEMNED
    if not after_all and not lacks_its_check(bottle, moment.now):
        return Decision(says=(Saying(_stands(situation, bottle, moment)),), then=BACK)
    strip = situation.protocol_here.strip
    checked = StripsChecked(bottle.tag, bottle.lot, passed, strip.qc_positive, strip.qc_negative)
    words = _good_to(situation, bottle) if passed else _useless(bottle.tag)
    case = moment.ident("case/strips")
    events = fallen_with_strips(situation.clinic, bottle, case) if after_all else ()
    told = told_in_vain(situation, bottle.tag, events, moment)
    return Decision(events=(checked, *events), says=(Saying(words), *told), then=BACK)


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
    """No control where the strips ask for none; nor of a bottle that is past it or has had it."""
    strip, tag = situation.protocol_here.strip, situation.frame.memo.get("tag")
    if tag:
        bottle = situation.clinic.strips[tag]
        if not lacks_its_check(bottle, moment.now):
            return Decision(says=(Saying(_stands(situation, bottle, moment)),), then=BACK)
    if strip.qc_positive or strip.qc_negative:
        return None
    return _after_strips_check(situation, "good", moment)


def _check_takes(situation: Situation) -> timedelta:
    """S10: each strip is dipped by itself; then they lie side by side until they can be read.

    Source: the figures of the strip's own file.
    """
    strip = situation.protocol_here.strip
    return (strip.qc_positive + strip.qc_negative) * strip.dip_for + strip.read_after


STRIPS = expiry_step("strips", _ask_strips, "strips_lot")
STRIPS_LOT = lot_step("strips_lot", _after_strips_lot, "strips")
STRIPS_CHECK = Step(
    name="strips_check",
    asks=_ask_strips_check,
    again=_ask_strips_check,
    asks_brief=_ask_strips_check,
    reads=one_of("good", "unsure"),
    decides=_after_strips_check,
    answers=("good", "unsure"),
    at_least=_check_takes,
    waits=_check_takes,
    skips=_none_due,
)

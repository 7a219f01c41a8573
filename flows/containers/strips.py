"""A bottle of strips is opened, and its quality control done (S4)."""

from datetime import date

from flows.containers.label import label, next_tag
from flows.containers.opened import expiry_step, lot_step, refuse_recalled, since
from flows.parts.clinic import Batch
from flows.parts.decision import BACK, Decision, Saying, go
from flows.parts.events import StripBottleOpened
from flows.parts.moment import Moment
from flows.parts.reading import one_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.rules.container_life import life_of_strips


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


def _after_strips_lot(situation: Situation, lot: str, _: Moment) -> Decision:
    batch = Batch(situation.protocol_here.strip.name, lot)
    return refuse_recalled(situation, batch, "strips") or Decision(
        then=go("strips_check", lot=lot)
    )


def _ask_strips_check(situation: Situation) -> Text:
    strip = situation.protocol_here.strip
    return say(
        "containers.strips.check",
        "Test the new strips: {count} in good {product} must all pass, {count} in half water must "
        "all fail. Just so: {good}. Else: {unsure}.",
        count=max(strip.qc_positive, strip.qc_negative),
        product=situation.protocol_here.chemistry.title,
    )


def _after_strips_check(situation: Situation, said: str, moment: Moment) -> Decision:
    protocol, memo = situation.protocol_here, situation.frame.memo
    opened = since(situation, moment)
    expires = date.fromisoformat(memo["expires"])
    life = life_of_strips(expires, opened, protocol.strip, situation.zone)
    tag = next_tag(situation, "S")
    bottle = StripBottleOpened(
        tag=tag,
        product=protocol.strip.name,
        lot=memo.get("lot", ""),
        expires=expires,
        opened=opened,
        discard_by=life.moment,
        checked=said == "good",
        because=life.because,
        qc_good=protocol.strip.qc_positive,
        qc_diluted=protocol.strip.qc_negative,
    )
    if said != "good":
        text = say(
            "containers.strips.bad",
            "Then none of those strips, {tag}, may be used: throw the bottle away and open "
            "another.",
            tag=tag,
        )
        return Decision(events=(bottle,), says=(Saying(text),), then=go("strips"))
    words = label(tag, protocol.chemistry.title, life)
    return Decision(events=(bottle,), says=(Saying(words),), then=BACK)


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
)

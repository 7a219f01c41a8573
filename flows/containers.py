"""OPEN, POUR, DISCARD: the life of jugs, bottles, baths and strip bottles (S5, S6)."""

from datetime import date, datetime

from flows.parts.clinic import Container, Fitness, Frame, Kind
from flows.parts.decision import BACK, Decision, Next, Opening, Saying, Turn, back_at, call, go
from flows.parts.events import ContainerCondemned, JugOpened, Poured, StripBottleOpened
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.dates import Order, printed_date
from flows.replies.typed import Typed, fold
from flows.rules.container_life import (
    Decided,
    life_of_bath,
    life_of_jug,
    life_of_pour,
    life_of_strips,
)
from flows.rules.strip import is_sound

LETTERS = {Kind.JUG: "J", Kind.BOTTLE: "B", Kind.BATH: "T"}
"""A container's tag is a letter and a number: jug, bottle, tub. Strip bottles are S."""

LONGEST_LOT = 12


def _typed(situation: Situation) -> Typed:
    if situation.typed is None:
        raise LookupError("A step reads an answer, and there is none.")
    return situation.typed


def _protocol(situation: Situation) -> CycleProtocol:
    if situation.open.cycle in situation.clinic.cycles:
        return situation.protocol
    return situation.today(next(iter(situation.clinic.devices.values())).model)


def next_tag(situation: Situation, letter: str) -> str:
    """The first free tag of that letter; a tag is never given twice while anything bears it."""
    taken = {*situation.clinic.containers, *situation.clinic.strips}
    return next(tag for tag in (f"{letter}{n}" for n in range(1, 100)) if tag not in taken)


def _expired(situation: Situation, day: date, moment: Moment) -> bool:
    return day < situation.local_day(moment.now)


def _refuse_expired(day: date) -> Decision:
    text = say(
        "containers.expired",
        "Expired {day}: do not take it into use. Put it aside for disposal and take another; its "
        "date, please?",
        day=day,
    )
    return Decision(says=(Saying(text),))


def _read_expiry(situation: Situation) -> date | NotUnderstood:
    orders: dict[str | None, Order] = {"dmy": "dmy", "mdy": "mdy"}
    return printed_date(_typed(situation), orders.get(situation.site.day_order))


def _read_lot(situation: Situation) -> str | NotUnderstood:
    """A lot as printed; NONE where there is none."""
    said = _typed(situation)
    if choose(said, {situation.vocabulary.word("none"): "none"}) == "none":
        return ""
    lot = "".join(said.words)
    fits = lot.isascii() and lot.isalnum() and len(lot) <= LONGEST_LOT
    return lot if fits and any(each.isdecimal() for each in lot) else NotUnderstood("word")


def _ask_lot(_: Situation) -> Text:
    return say(
        "containers.lot",
        "Its lot number from the label? Letters and figures only, or {none} if there is none.",
    )


# -- a jug --------------------------------------------------------------------------------------


def _ask_jug_expiry(situation: Situation) -> Text:
    return say(
        "containers.jug.expiry",
        "New jug of {product}, opened now: which expiry date is on it? Year, month, day, like "
        "270331.",
        product=_protocol(situation).chemistry.title,
    )


def _after_jug_expiry(situation: Situation, day: date, moment: Moment) -> Decision:
    if _expired(situation, day, moment):
        return _refuse_expired(day)
    since = situation.open.asked_at.isoformat()
    return Decision(then=go("jug_lot", expires=day.isoformat(), since=since))


def _after_jug_lot(situation: Situation, lot: str, moment: Moment) -> Decision:
    chemistry = _protocol(situation).chemistry
    expires = date.fromisoformat(situation.frame.memo["expires"])
    opened = _since(situation, moment)
    life = life_of_jug(expires, opened, chemistry, situation.zone)
    twin = _same_lot(situation, chemistry.name, lot)
    if twin and twin.discard_by < life.moment:
        life = Decided(twin.discard_by, twin.because)
    tag = next_tag(situation, LETTERS[Kind.JUG])
    jug = JugOpened(tag, chemistry.name, lot, expires, opened, life.moment, life.because)
    return Decision(events=(jug,), says=(Saying(_label(tag, chemistry.title, life)),), then=BACK)


def _same_lot(situation: Situation, product: str, lot: str) -> Container | None:
    """S5: OPEN said again of the same jug, or of its twin, never gives a later date."""
    return next(
        (
            each
            for each in situation.clinic.containers.values()
            if each.kind is Kind.JUG
            and (each.product, each.lot) == (product, lot)
            and lot
            and each.fitness is not Fitness.DISCARDED
        ),
        None,
    )


def _since(situation: Situation, moment: Moment) -> datetime:
    said = situation.frame.memo.get("since")
    return datetime.fromisoformat(said) if said else moment.now


def _label(tag: str, product: str, life: Decided) -> Text:
    return say(
        "containers.label",
        "Write on it: {tag} {product}, discard by {until}. Name and today's date too.",
        tag=tag,
        product=product,
        until=life.moment,
    )


JUG = Step(
    name="jug",
    asks=_ask_jug_expiry,
    again=_ask_jug_expiry,
    asks_brief=_ask_jug_expiry,
    reads=_read_expiry,
    decides=_after_jug_expiry,
)

JUG_LOT = Step(
    name="jug_lot",
    asks=_ask_lot,
    again=_ask_lot,
    asks_brief=_ask_lot,
    reads=_read_lot,
    decides=_after_jug_lot,
    answers=("none",),
)


# -- pouring ------------------------------------------------------------------------------------


def _kind(situation: Situation) -> Kind:
    return Kind(situation.frame.memo.get("kind", Kind.BATH.value))


def _source(situation: Situation, moment: Moment) -> Container | None:
    """What to pour from: what was named, else the good one that runs out first."""
    wanted = Kind.BOTTLE if _kind(situation) is Kind.BATH else Kind.JUG
    product = _protocol(situation).chemistry.name
    good = [
        each
        for each in situation.clinic.containers.values()
        if each.kind is wanted and each.product == product and is_sound(each, moment.now)
    ]
    named = situation.frame.memo.get("source")
    chosen = [each for each in good if each.tag == named] or good
    return min(chosen, key=lambda each: each.discard_by, default=None)


def _ask_fill(situation: Situation) -> Text:
    source = situation.frame.memo.get("from", "")
    if _kind(situation) is Kind.BATH:
        return say(
            "containers.fill.bath",
            "No bath is ready. Pour {source} into an empty, washed, dry tub to the line. Then "
            "{poured}; if something was in it {topped}; to do it after the wash {later}.",
            source=source,
        )
    return say(
        "containers.fill.bottle",
        "Pour {source} into an empty, washed, dry working bottle. Reply {poured}, or {topped} if "
        "anything was still in it.",
        source=source,
    )


def _read_fill(situation: Situation) -> str | NotUnderstood:
    slugs = ("poured", "topped", "later")
    return choose(_typed(situation), {situation.vocabulary.word(slug): slug for slug in slugs})


def _after_fill(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "later":
        return Decision(then=_later(situation))
    source = _source(situation, moment)
    if source is None:
        return Decision(then=go("fill"))
    return _poured(situation, source, topped_up=said == "topped")


def _later(situation: Situation) -> Next:
    """One tub for both: the bath is made once the detergent is out of it."""
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    return back_at("await_detergent") if cycle and cycle.detergent else BACK


def _poured(situation: Situation, source: Container, *, topped_up: bool) -> Decision:
    """S5, S6: it inherits its date, and counts from the earliest that it can have been."""
    kind, chemistry = _kind(situation), _protocol(situation).chemistry
    at = max(situation.open.asked_at, source.since)
    inherited = Decided(source.discard_by, source.because)
    life_of = life_of_bath if kind is Kind.BATH else life_of_pour
    life = life_of(inherited, at, chemistry, situation.zone)
    tag = next_tag(situation, LETTERS[kind])
    poured = Poured(
        tag=tag,
        kind=kind,
        source=source.tag,
        product=source.product,
        lot=source.lot,
        poured=at,
        discard_by=life.moment,
        because=life.because,
        topped_up=topped_up,
    )
    if topped_up:
        condemned = ContainerCondemned(tag, "topped_up")
        return Decision(
            events=(poured, condemned), says=(Saying(_condemned(tag)),), then=go("fill")
        )
    return Decision(
        events=(poured,), says=(Saying(_label(tag, chemistry.title, life)),), then=BACK
    )


def _condemned(tag: str) -> Text:
    return say(
        "containers.topped",
        "Then that mixture, {tag}, is not for use: label it and throw it away. Empty, wash and "
        "dry the container before pouring again.",
        tag=tag,
    )


def _find_source(situation: Situation, moment: Moment) -> Decision | None:
    """Where there is nothing good to pour from, that is seen to first."""
    source = _source(situation, moment)
    if source is None:
        kind = _kind(situation)
        if kind is Kind.BATH:
            return Decision(then=call("containers", "fill", back_to="fill", kind="bottle"))
        return Decision(then=call("containers", "jug", back_to="fill"))
    if situation.frame.memo.get("from") == source.tag:
        return None
    return Decision(then=Next(Turn.GO, "fill", memo={"from": source.tag}))


FILL = Step(
    name="fill",
    asks=_ask_fill,
    again=_ask_fill,
    asks_brief=_ask_fill,
    reads=_read_fill,
    decides=_after_fill,
    answers=("poured", "topped", "later"),
    skips=_find_source,
)


# -- a bottle of strips -------------------------------------------------------------------------


def _ask_strips(situation: Situation) -> Text:
    return say(
        "containers.strips.expiry",
        "No strips in date. New strip bottle for {product}, opened now: its expiry date? Like "
        "270331.",
        product=_protocol(situation).chemistry.title,
    )


def _after_strips(situation: Situation, day: date, moment: Moment) -> Decision:
    if _expired(situation, day, moment):
        return _refuse_expired(day)
    since = situation.open.asked_at.isoformat()
    return Decision(then=go("strips_lot", expires=day.isoformat(), since=since))


def _after_strips_lot(_: Situation, lot: str, __: Moment) -> Decision:
    return Decision(then=go("strips_check", lot=lot))


def _ask_strips_check(situation: Situation) -> Text:
    strip = _protocol(situation).strip
    return say(
        "containers.strips.check",
        "Test the new strips: {count} in good {product} must all pass, {count} in half water must "
        "all fail. Just so: {good}. Else: {unsure}.",
        count=max(strip.qc_positive, strip.qc_negative),
        product=_protocol(situation).chemistry.title,
    )


def _read_strips_check(situation: Situation) -> str | NotUnderstood:
    slugs = ("good", "unsure")
    return choose(_typed(situation), {situation.vocabulary.word(slug): slug for slug in slugs})


def _after_strips_check(situation: Situation, said: str, moment: Moment) -> Decision:
    protocol, memo = _protocol(situation), situation.frame.memo
    opened = _since(situation, moment)
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
    )
    if said != "good":
        text = say(
            "containers.strips.bad",
            "Then none of those strips, {tag}, may be used: throw the bottle away and open "
            "another.",
            tag=tag,
        )
        return Decision(events=(bottle,), says=(Saying(text),), then=go("strips"))
    label = _label(tag, protocol.chemistry.title, life)
    return Decision(events=(bottle,), says=(Saying(label),), then=BACK)


STRIPS = Step(
    name="strips",
    asks=_ask_strips,
    again=_ask_strips,
    asks_brief=_ask_strips,
    reads=_read_expiry,
    decides=_after_strips,
)

STRIPS_LOT = Step(
    name="strips_lot",
    asks=_ask_lot,
    again=_ask_lot,
    asks_brief=_ask_lot,
    reads=_read_lot,
    decides=_after_strips_lot,
    answers=("none",),
)

STRIPS_CHECK = Step(
    name="strips_check",
    asks=_ask_strips_check,
    again=_ask_strips_check,
    asks_brief=_ask_strips_check,
    reads=_read_strips_check,
    decides=_after_strips_check,
    answers=("good", "unsure"),
)

CONTAINERS = flow("containers", JUG, JUG_LOT, FILL, STRIPS, STRIPS_LOT, STRIPS_CHECK)


# -- commands -----------------------------------------------------------------------------------


def _word_after(situation: Situation) -> str:
    words = _typed(situation).words
    return words[1] if len(words) > 1 else ""


def open_command(situation: Situation, _: Moment) -> Decision:
    """OPEN: a new jug; OPEN S: a new bottle of strips; OPEN J1: since when J1 is open."""
    word = _word_after(situation)
    known = {fold(tag): each for tag, each in situation.clinic.containers.items()}
    if word in known:
        text = say(
            "containers.open.known",
            "{tag} is open already. Discard it by {until}: that date stays.",
            tag=known[word].tag,
            until=known[word].discard_by,
        )
        return Decision(says=(Saying(text),))
    step = "strips" if word.startswith("S") else "jug"
    return Decision(opens=Opening((Frame("containers", step),)))


def pour_command(situation: Situation, _: Moment) -> Decision:
    """POUR: a bath from the working bottle; POUR J1: a working bottle from that jug."""
    word = _word_after(situation)
    known = {fold(tag): each for tag, each in situation.clinic.containers.items()}
    source = known.get(word)
    kind = Kind.BOTTLE if source and source.kind is Kind.JUG else Kind.BATH
    memo = {"kind": kind.value} | ({"source": source.tag} if source else {})
    return Decision(opens=Opening((Frame("containers", "fill", memo),)))

"""What no strip exists for: a bath mixed for one soak, and what is wiped with (S1, S4).

Evidence stands in the place of a strip.
"""

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from flows.calculations.check_code import labelled_tag
from flows.calculations.chlorine import was_mixed_before
from flows.calculations.chlorine_source import Source, source_as_written
from flows.calculations.strength import Impossible
from flows.containers import single_use_words as words
from flows.containers.contents import contents
from flows.containers.doubts import is_not_sure
from flows.containers.how_much import VOLUME, noted
from flows.containers.label import lot_on_label, next_tag
from flows.containers.limits import limit
from flows.containers.mixed import SOAK, label_of_mix
from flows.containers.mixing_chlorine import (
    TO_SOAK,
    TO_WIPE,
    exactly,
    measured_out,
    recipe,
)
from flows.containers.mixing_words import SOURCE, refused
from flows.containers.pour import LETTERS, later
from flows.containers.said_with_fill import only_fresh
from flows.parts.clinic import Container, Kind
from flows.parts.decision import BACK, DONE, STAY, Decision, Next, Saying, Turn, call, go
from flows.parts.events import CycleAbandoned, EvidenceStated, Mixed, Poured
from flows.parts.moment import Moment
from flows.parts.reading import says_first, typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step, hands
from flows.parts.stock import CHLORINE
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.amounts import Amounts, amounts, is_volume, unread
from flows.replies.plainly import names_a_vessel
from flows.replies.tags import VESSEL, tags_in
from flows.replies.typed import fold
from flows.rules.amount_words import shown
from flows.rules.container_life import Decided, lasts_a_soak, life_of_bath
from flows.rules.good_to import good_to, good_to_on_label
from flows.rules.soak import soonest_in
from flows.rules.strip import is_sound
from flows.rules.wiping import may_wipe

_MIXED = "_mixed"
_PUT_RIGHT = "put_right"

_BESIDE = frozenset(
    {"IT", "IS", "SAYS", "LABEL", "ON", "BATH", "BOTTLE", "TUB", "STRENGTH", "SORRY"}
    | {"DONE", "READY", "YES", "ALL", "MEASURED", "OUT", "GLOVES", "GOGGLES", "CLEAN", "TOWEL"}
)
"""What people say beside the strength and the litres that changes neither."""


@dataclass(frozen=True, slots=True)
class Asked:
    """So much of a bath, from a source of that strength."""

    amounts: Amounts
    source: Source


def _source(situation: Situation, moment: Moment) -> Container | None:
    """What it is mixed from: bleach or powder that lasts a soak, the first to run out."""
    protocol = situation.protocol_here
    good = [
        each
        for each in situation.clinic.containers.values()
        if each.kind is Kind.JUG
        and each.product == protocol.chemistry.name
        and is_sound(each, moment.now)
        and lasts_a_soak(each.discard_by, protocol.bell_after, _begins(situation, moment))
    ]
    return min(good, key=lambda each: each.discard_by, default=None)


def _begins(situation: Situation, moment: Moment) -> datetime:
    """When the device goes in: what is mixed has no strip to wait for."""
    return soonest_in(situation.cycle, situation.protocol_here, moment.now, passed=True)


def _find_source(situation: Situation, moment: Moment) -> Decision | None:
    if _is_to_wipe(situation) and _wipes(situation, moment):
        return Decision(then=BACK)
    source, here = _source(situation, moment), _for_what(situation)
    if source is None:
        return Decision(then=call("containers", "jug", back_to=here, kind="jug"))
    life = _life(situation, source, moment.now)
    soak, begins = situation.protocol_here.bell_after, _begins(situation, moment)
    if not lasts_a_soak(life.moment, soak, begins):
        return _too_late(situation, life)
    if situation.frame.memo.get("source") == source.tag:
        return None
    return Decision(then=Next(Turn.GO, here, memo={"source": source.tag}))


def _for_what(situation: Situation) -> str:
    """The step that asks how strong and how much: for a soak, or to wipe with."""
    return situation.frame.step.removesuffix(_MIXED)


def _is_to_wipe(situation: Situation) -> bool:
    return _for_what(situation) == TO_WIPE


def _wipes(situation: Situation, moment: Moment) -> bool:
    """Whether somebody has mixed some meanwhile."""
    containers, chemistry = situation.clinic.containers.values(), situation.protocol_here.chemistry
    return any(may_wipe(each, chemistry, moment.now) for each in containers)


def _life(situation: Situation, source: Container, at: datetime) -> Decided:
    inherited = Decided(source.discard_by, source.because)
    return life_of_bath(inherited, at, situation.protocol_here.chemistry, situation.zone)


def _too_late(situation: Situation, life: Decided) -> Decision:
    """S5, S8: what is new each day ends at midnight, and shortly before that within the soak."""
    cycle = situation.cycle
    text = say(
        "containers.single_use.too_late",
        "Too late: a bath mixed now is good to {good_to} only, less than the soak. Rinse "
        "{device}, keep it apart: NOT READY. After that: {clean} {device}.",
        good_to=good_to(life.moment, situation.zone),
        device=cycle.device,
    )
    given_up = CycleAbandoned(cycle.id, cycle.device, "too_late")
    return Decision(events=(given_up,), says=(Saying(text),), then=DONE)


# -- how strong, how much -----------------------------------------------------------------------


def _ask_strength(situation: Situation) -> Text:
    if _is_to_wipe(situation):
        return say(
            "containers.single_use.wipe",
            "To wipe with, mixed new each day: {product}. {source}: strength on its label, how "
            "many litres? Like {example}.",
            product=situation.protocol_here.chemistry.title,
            source=situation.frame.memo.get("source", ""),
            example=words.example(situation, 1),
        )
    return say(
        "containers.single_use",
        "No strip for {product}: each soak has its own bath. {source}: strength on its label, "
        "litres of bath? Like {example}. Not yet: {later}.",
        product=situation.protocol_here.chemistry.title,
        source=situation.frame.memo.get("source", ""),
        example=words.example(situation, 2),
    )


def _read_strength(situation: Situation) -> Asked | str | NotUnderstood:
    """A volume and one strength, each with its unit; POWDER where it is none that flows."""
    if word_of(situation, ("later",)) == "later":
        return "later"
    said = amounts(typed(situation))
    if isinstance(said, NotUnderstood):
        return said if said.hint == "band" else NotUnderstood("word")
    if len(said.strengths) != 1 or _says_more(situation):
        return NotUnderstood("word")
    percent = exactly(said.strengths[0])
    if isinstance(percent, Impossible):
        return NotUnderstood("impossible")
    is_powder = fold(situation.vocabulary.word("powder")) in typed(situation).words
    return Asked(said, Source("powder" if is_powder else "bleach", percent))


def _says_more(situation: Situation) -> bool:
    """S4: 5% 2 L EXPIRED: what stands beside the amount may be why it is none."""
    ours = {
        fold(situation.vocabulary.word("powder")),
        fold(situation.frame.memo.get("source", "")),
    }
    return not {*unread(typed(situation))} <= _BESIDE | ours


def _after_strength(situation: Situation, said: Asked | str, _: Moment) -> Decision:
    if isinstance(said, str):
        return Decision(then=later(situation))
    if said.amounts.volume_ml < situation.protocol_here.device_model.bath_volume_ml:
        return Decision(says=(Saying(words.below_the_line(situation, said.amounts)),))
    if _is_to_be_said_again(situation, said.source):
        return Decision(says=(Saying(words.not_on_file(situation, said.amounts, said.source)),))
    wanted = Fraction(situation.protocol_here.chemistry.mixed_to_percent or Decimal(0))
    amount = measured_out(situation, said.amounts, wanted, said.source)
    if isinstance(amount, Impossible):
        again = words.as_powder(said.amounts, said.source)
        return Decision(says=(Saying(refused(amount, wanted, said.source.percent, again)),))
    if was_mixed_before(said.source.percent, wanted):
        return Decision(says=(Saying(words.mixed_before(said.source.percent)),))
    true = amount.amount * said.source.percent / Fraction(said.amounts.volume_ml)
    told = recipe(said.amounts, amount, said.source, true, wanted)
    vouched = Next(Turn.GO, f"{_for_what(situation)}{_MIXED}", memo=_noted(said))
    return Decision(says=(Saying(told),), then=vouched)


def _is_to_be_said_again(situation: Situation, source: Source) -> bool:
    """S4: no strip would show it: another strength than on file is said with its tag."""
    on_file = source_as_written(situation.site.way(SOURCE))
    is_other = on_file is not None and on_file.shown != source.shown
    tags = tags_in(typed(situation).words).values()
    return is_other and situation.frame.memo.get("source") not in tags


def _noted(said: Asked) -> dict[str, str]:
    """What goes on the record of it, once it is vouched for."""
    strength = f"{said.source.kind} {shown(said.source.percent)} %"
    return {"strength": strength, VOLUME: str(said.amounts.volume_ml)}


SINGLE_USE = Step(
    name=TO_SOAK,
    asks=_ask_strength,
    again=_ask_strength,
    asks_brief=_ask_strength,
    reads=_read_strength,
    decides=_after_strength,
    answers=("later",),
    skips=_find_source,
    anew=True,
)
MIX_TO_WIPE = replace(SINGLE_USE, name=TO_WIPE)


# -- what takes a strip's place -----------------------------------------------------------------


def _ask_mixed(situation: Situation) -> Text:
    if _is_to_wipe(situation):
        return say(
            "containers.single_use.mixed.wipe",
            "Gloves, goggles, air. Bottle empty, washed, dry; all measured; clean water; clear, "
            "nothing in it? All so: {fresh}. Not all, not sure: {unsure}.",
        )
    return say(
        "containers.single_use.mixed",
        "Gloves, goggles, air. Tub empty, washed, dry; all measured; water boiled, cooled; clear, "
        "nothing in it? All so: {fresh}. Not all, not sure: {unsure}.",
    )


def _ask_mixed_again(situation: Situation) -> Text:
    if says_first(situation, "mixed"):
        return say(
            "containers.single_use.mixed.again",
            "More than {mixed} is asked: what it is in was empty, washed, dry; all measured; the "
            "right water; clear, nothing in it? All so: {fresh}. Not all, not sure: {unsure}.",
        )
    return _ask_mixed(situation)


def _read_mixed(situation: Situation) -> str | NotUnderstood:
    """FRESH or UNSURE; or an amount, which puts the recipe right unless it is the same."""
    said, memo = amounts(typed(situation)), situation.frame.memo
    bare = only_fresh(_without_its_volume(situation), "M" if _is_to_wipe(situation) else "T")
    if word_of(bare, ("fresh",)) == "fresh":
        return "fresh"
    asked = _read_strength(situation)
    is_same = isinstance(asked, Asked) and _noted(asked).items() <= memo.items()
    if is_same or (isinstance(said, NotUnderstood) and said.hint == "empty"):
        said_so = word_of(situation, ("fresh", "unsure"))
        return "unsure" if is_not_sure(situation) else said_so
    if isinstance(said, NotUnderstood) and _may_be_of_a_probe(situation):
        return NotUnderstood("word")
    return _PUT_RIGHT


def _without_its_volume(situation: Situation) -> Situation:
    """FRESH 2 L, the very volume of the recipe; of another one it is asked for anew."""
    said, memo = typed(situation), situation.frame.memo
    read = amounts(said)
    if isinstance(read, NotUnderstood) or read.strengths or read.volume_ml != noted(memo):
        return situation
    words = tuple(word for word in said.words if word.isalpha() and not is_volume(f"1{word}"))
    return replace(situation, typed=replace(said, words=words))


def _may_be_of_a_probe(situation: Situation) -> bool:
    """S3: IN 23, it fell in T9; that it is 5% 2 L FROM J1 is none."""
    said, ours = typed(situation), situation.vocabulary.words
    in_, out = fold(ours["in"]), fold(ours["out"])
    source = situation.frame.memo.get("source", "")
    others = [word for word in said.words if (tag := VESSEL.fullmatch(word)) and tag[1] != source]
    begins = said.words[:1] in {(in_,), (out,)}
    return begins or bool(others) or names_a_vessel(said, in_)


def _put_right(situation: Situation, moment: Moment) -> Decision:
    """S4: nothing is vouched for by an amount that no longer holds, be the other one unclear.

    It may be what was mixed long ago, only typed amiss: it stays as old as the first (S5).
    """
    asked = _read_strength(situation)
    anew = go(_for_what(situation))
    if not isinstance(asked, Asked):
        return Decision(then=anew)
    after = _after_strength(situation, asked, moment)
    return replace(after, then=anew) if after.then is STAY else after


def _after_mixed(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == _PUT_RIGHT:
        return _put_right(situation, moment)
    source = situation.clinic.containers.get(situation.frame.memo.get("source", ""))
    if said != "fresh" or source is None or not is_sound(source, moment.now):
        return Decision(says=(Saying(words.tip_it_out()),), then=_mixed_anew(situation))
    return _vouched_for(situation, source, moment)


def _mixed_anew(situation: Situation) -> Next:
    return go(_for_what(situation), since="")


def _vouched_for(situation: Situation, source: Container, moment: Moment) -> Decision:
    """S4, S5: it counts from the question, the earliest that it can have been mixed."""
    chemistry, cycle = situation.protocol_here.chemistry, situation.open.cycle or ""
    at = max(situation.first_asked, source.since)
    life = _life(situation, source, at)
    if life.moment <= moment.now:
        return Decision(says=(Saying(words.over_already()),), then=_mixed_anew(situation))
    if _is_to_wipe(situation):
        return _mixed_to_wipe(situation, source, at, life)
    tag = next_tag(situation, LETTERS[Kind.BATH])
    poured = Poured(
        tag=tag,
        kind=Kind.BATH,
        source=source.tag,
        product=source.product,
        lot=source.lot,
        poured=at,
        discard_by=life.moment,
        because=life.because,
        topped_up=False,
        volume_ml=noted(situation.frame.memo),
    )
    stated = EvidenceStated(
        cycle=cycle,
        bath=tag,
        stated=chemistry.single_use_evidence,
        strength=situation.frame.memo["strength"],
        good_until=life.moment,
    )
    text = say(
        "containers.single_use.label",
        "Write on it: {label} {contents}, lot {lot}, good to {good_to} ({limit}), one soak only. "
        "Name and date too.",
        label=labelled_tag(tag),
        contents=contents(chemistry.title, poured.volume_ml),
        lot=lot_on_label(poured.lot),
        good_to=good_to_on_label(life.moment, situation.zone),
        limit=limit(life.because),
    )
    return Decision(events=(poured, stated), says=(Saying(text),), then=BACK)


def _mixed_to_wipe(
    situation: Situation, source: Container, at: datetime, life: Decided
) -> Decision:
    """S1, S5: a batch like any that MIX makes: handle and cable are wiped with it all its day."""
    chemistry = situation.protocol_here.chemistry
    mixed = Mixed(
        tag=next_tag(situation, "M"),
        product=CHLORINE,
        strength=f"{shown(Fraction(chemistry.mixed_to_percent or 0))} %",
        volume_ml=Decimal(situation.frame.memo[VOLUME]),
        lot=source.lot,
        mixed=at,
        discard_by=life.moment,
        because=life.because,
        source=source.tag,
    )
    label = label_of_mix(mixed, SOAK, source.tag, situation.zone)
    return Decision(events=(mixed,), says=(Saying(label),), then=BACK)


SINGLE_USE_MIXED = Step(
    name=f"{TO_SOAK}{_MIXED}",
    asks=_ask_mixed,
    again=_ask_mixed_again,
    asks_brief=_ask_mixed,
    reads=_read_mixed,
    decides=_after_mixed,
    answers=("fresh", "unsure"),
    at_least=hands(30),
    ages=True,
)
MIXED_TO_WIPE = replace(SINGLE_USE_MIXED, name=f"{TO_WIPE}{_MIXED}")

"""Pouring: into a working bottle or a bath; the date is inherited, never renewed (S5, S6)."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from flows.calculations.volumes import volume_of
from flows.containers.contents import contents, not_soaked_in
from flows.containers.how_much import below_the_line, noted, said_with_it
from flows.containers.just_filled import was_just_filled, which_of_both
from flows.containers.label import label, next_tag
from flows.containers.said_with_fill import (
    BEFORE,
    ONTO,
    empty_after_it,
    is_source_empty,
    only_filled,
    onto_what,
    was_before,
    why_no_pour,
)
from flows.containers.topped import held_for_it, poured_anew
from flows.parts.clinic import Container, Cycle, Fitness, Kind, Thread
from flows.parts.decision import BACK, DONE, Decision, Next, Saying, Turn, back_at, call, go, told
from flows.parts.events import ContainerCondemned, Poured
from flows.parts.moment import Moment
from flows.parts.reading import says_first, typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step, hands
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol
from flows.replies import NotUnderstood
from flows.rules.container_life import (
    Decided,
    is_active,
    lasts_a_soak,
    life_of_bath,
    life_of_pour,
)
from flows.rules.found_unfit import TOPPED_UP
from flows.rules.good_to import good_to
from flows.rules.soak import soonest_in
from flows.rules.strip import is_sound, may_be_tested

LETTERS = {Kind.BOTTLE: "B", Kind.BATH: "T"}
"""A container's tag is a letter and a number: J for a jug, B bottle, T tub, S strips."""

TO_POUR = timedelta(minutes=2)
"""From a jug into a bottle, and on into a tub. Source: common practice, none published."""


def _kind(situation: Situation) -> Kind:
    return Kind(situation.frame.memo.get("kind", Kind.BATH.value))


def lasts_its_soak(
    source: Container, cycle: Cycle | None, protocol: CycleProtocol, moment: Moment
) -> bool:
    """S5: whether what is poured from it now is good to the end of a soak in it."""
    begins = soonest_in(cycle, protocol, moment.now + TO_POUR, passed=False)
    return lasts_a_soak(source.discard_by, protocol.bell_after, begins)


def _source(situation: Situation, moment: Moment) -> Container | None:
    """What to pour from: what was named, else the good one that runs out first.

    One that is active already comes before one that is not: nobody begins another life in vain.

    S5: what is poured inherits its date, so it must last a soak: else it is poured in vain, again
    and again.
    """
    wanted = Kind.BOTTLE if _kind(situation) is Kind.BATH else Kind.JUG
    protocol = situation.protocol_here
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    good = [
        each
        for each in situation.clinic.containers.values()
        if each.kind is wanted
        and each.product == protocol.chemistry.name
        and is_sound(each, moment.now)
        and lasts_its_soak(each, cycle, protocol, moment)
    ]
    named = situation.frame.memo.get("source")
    chosen = [each for each in good if each.tag == named] or good
    return min(
        chosen,
        key=lambda each: (not is_active(each, protocol.chemistry), each.discard_by),
        default=None,
    )


def _ask_fill(situation: Situation) -> Text:
    source = situation.frame.memo.get("source", "")
    if _kind(situation) is Kind.BATH and situation.open.cycle is None:
        return say(
            "containers.fill.tub",
            "Pour {source} into an empty, washed, dry tub to the line. Reply {poured}; {topped} "
            "if anything was still in it; {later} if not now.",
            source=source,
        )
    if _kind(situation) is Kind.BATH:
        return say(
            "containers.fill.bath",
            "No bath is ready. Pour {source} into an empty, washed, dry tub to the line. Then "
            "{poured}; if something was in it {topped}; to do it after the wash {later}.",
            source=source,
        )
    return say(
        "containers.fill.bottle",
        "Pour {source} into an empty, washed, dry working bottle. Reply {filled}, or {topped} if "
        "anything was still in it. Too little in {source} to fill it? {discard} {source}.",
        source=source,
    )


def _ask_fill_again(situation: Situation) -> Text:
    """S10: of the two words that follow each other the one is never taken for the other."""
    source = situation.frame.memo.get("source", "")
    is_bath = _kind(situation) is Kind.BATH
    if is_bath and says_first(situation, "filled"):
        return say(
            "containers.fill.no_bottle",
            "This is the bath, no bottle. Was the tub empty, washed, dry, and is {source} in it "
            "to the line? Reply {poured}, not {filled}; {topped} if anything was still in it.",
            source=source,
        )
    if not is_bath and says_first(situation, "poured"):
        return say(
            "containers.fill.no_bath",
            "This is the working bottle, no bath. Was it empty, washed, dry, and is {source} in "
            "it? Reply {filled}, not {poured}; {topped} if anything was still in it.",
            source=source,
        )
    return _ask_fill(situation)


def _answers(situation: Situation) -> tuple[str, ...]:
    """S10: a bottle is filled and a bath is poured: the one follows the other closely.

    Within a cleaning a bottle cannot wait, as the bath is poured from it.
    """
    if _kind(situation) is Kind.BATH:
        return ("poured", "topped", "later", "empty")
    in_cleaning = situation.open.cycle in situation.clinic.cycles
    return ("filled", "topped", "empty", *(() if in_cleaning else ("later",)))


def _read_fill(situation: Situation) -> str | NotUnderstood:
    """Both words say that it is done; of what was done before they say nothing."""
    letter = LETTERS[_kind(situation)]
    bare = only_filled(_of_the_tub(situation), letter)
    said = word_of(bare, _answers(situation))
    if isinstance(said, NotUnderstood) and was_before(situation):
        return BEFORE
    if isinstance(said, NotUnderstood) and onto_what(situation, letter):
        return ONTO
    if isinstance(said, NotUnderstood) and _said_with_it(situation):
        said = word_of(_without_its_volume(situation), _answers(situation))
    return "poured" if said == "filled" else said


def _said_with_it(situation: Situation) -> Decimal | None:
    return said_with_it(situation, situation.protocol_here)


def _without_its_volume(situation: Situation) -> Situation:
    words = typed(situation)
    return replace(situation, typed=words.without(*words.words[1:]))


def _of_the_tub(situation: Situation) -> Situation:
    """TOPPED TUB, where a bath is asked about, is TOPPED."""
    if _kind(situation) is not Kind.BATH or not says_first(situation, "topped"):
        return situation
    tub = situation.vocabulary.word("tub")
    return replace(situation, typed=typed(situation).without("THE", "BATH", tub))


def _after_fill(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "later":
        return _later(situation)
    if said in {BEFORE, ONTO}:
        return told(why_no_pour(situation, said, LETTERS[_kind(situation)]))
    named = situation.frame.memo.get("source", "")
    source = situation.clinic.containers.get(named)
    if source is None or not is_sound(source, moment.now):
        return Decision(says=(Saying(_gone(named)),), then=poured_anew())
    if said == "empty":
        return told(_is_it_empty(named))
    if said == "topped":
        return _topped_up(situation, source, moment)
    held = _said_with_it(situation)
    below = held and below_the_line(_kind(situation), held, situation.protocol_here)
    return told(below) if below else _is_poured(situation, source, held)


def _gone(tag: str) -> Text:
    """S6: it was poured from what was named, not from what would be named now."""
    return say(
        "containers.fill.gone",
        "{source} is not for use any more, nor is what was poured from it. Throw it away and "
        "take a clean container.",
        source=tag,
    )


def is_poured_in(thread: Thread, tag: str) -> bool:
    """Whether that conversation has asked to pour from *tag*, and nobody has answered yet."""
    top = thread.top
    return (top.flow, top.step) == ("containers", "fill") and top.memo.get("source") == tag


def gone_meanwhile(tag: str) -> Text:
    """S6: said elsewhere. The question stays: what was poured is not noted from something else."""
    return say(
        "containers.fill.gone_meanwhile",
        "{source} is noted as thrown away. What has just been poured from it is not for use: "
        "throw it away. Reply {empty}, and I name another to pour from.",
        source=tag,
    )


def recalled_meanwhile(tag: str) -> Text:
    """S6, S18: what is to be done with *tag* has just been said in a text of its own."""
    return say(
        "containers.fill.recalled",
        "Nothing is noted as poured from {source}. What has just been poured from it is not for "
        "use either: do with it as with {source}.",
        source=tag,
    )


def _is_it_empty(tag: str) -> Text:
    """S7: it is gone once somebody says so; the word may have been meant of the tub or bottle."""
    return say(
        "containers.fill.is_empty",
        "Is {source} empty, or too little in it? Throw it away and text {discard} {source}: I "
        "name another. What you pour into must be empty too, washed and dry.",
        source=tag,
    )


def _later(situation: Situation) -> Decision:
    """In a cycle its own next question is the answer; outside of one nothing else would be."""
    if situation.open.cycle in situation.clinic.cycles:
        return Decision(then=later(situation))
    text = say("containers.fill.later", "All right, nothing is noted as poured. Later: {pour}.")
    return Decision(says=(Saying(text),), then=DONE)


def later(situation: Situation) -> Next:
    """One tub for both: the bath is made once the detergent is out of it."""
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    return back_at("await_detergent") if cycle and cycle.detergent else BACK


def _topped_up(situation: Situation, source: Container, moment: Moment) -> Decision:
    """S6: the mixture is not for use, nor is whatever it was poured onto."""
    if len(typed(situation).words) == 1 and was_just_filled(situation, source, moment):
        return told(which_of_both(source.tag))
    poured = _poured(situation, source, None, topped_up=True)
    condemned = ContainerCondemned(poured.tag, TOPPED_UP)
    in_doubt = held_for_it(situation, moment)
    return Decision(events=(poured, condemned, *in_doubt), then=go("topped", topped=poured.tag))


def _is_poured(situation: Situation, source: Container, said: Decimal | None) -> Decision:
    """A bath is filled to its line: unless it is said, its device's file knows how much."""
    held = said or noted(situation.frame.memo)
    poured = _poured(situation, source, held, topped_up=False)
    title = situation.chemistry(source.product).title
    shown = poured.volume_ml if poured.kind is Kind.BOTTLE else held
    life = Decided(poured.discard_by, poured.because)
    words = label(poured.tag, contents(title, shown), source.lot, life, situation.zone)
    is_used = source.product == situation.protocol_here.chemistry.name
    why = () if is_used else (Saying(not_soaked_in(poured.tag, title)),)
    gone = (Saying(empty_after_it(situation)),) if is_source_empty(situation) else ()
    return Decision(events=(poured,), says=(Saying(words), *why, *gone), then=BACK)


def _poured(
    situation: Situation, source: Container, held: Decimal | None, *, topped_up: bool
) -> Poured:
    """S5, S6: it inherits its date, and counts from the earliest that it can have been."""
    kind, chemistry = _kind(situation), situation.chemistry(source.product)
    at = max(situation.first_asked, source.since)
    inherited = Decided(source.discard_by, source.because)
    life_of = life_of_bath if kind is Kind.BATH else life_of_pour
    life = life_of(inherited, at, chemistry, situation.zone)
    return Poured(
        tag=next_tag(situation, LETTERS[kind]),
        kind=kind,
        source=source.tag,
        product=source.product,
        lot=source.lot,
        poured=at,
        discard_by=life.moment,
        because=life.because,
        topped_up=topped_up,
        volume_ml=volume_of(kind, situation.site, situation.protocol_here, held),
    )


def _find_source(situation: Situation, moment: Moment) -> Decision | None:
    """Where there is nothing good to pour from, that is seen to first."""
    if situation.protocol_here.chemistry.is_single_use:
        return _mixed_in_its_cleaning(situation)
    source = _source(situation, moment)
    named = situation.frame.memo.get("source", "")
    if named and (source is None or source.tag != named):
        why = _not_from(situation, named, moment)
        return Decision(says=(Saying(why),), then=poured_anew())
    if source is None:
        return _source_first(situation, moment)
    if not is_active(source, situation.protocol_here.chemistry):
        activate = call("containers", "activate", back_to="fill", source=source.tag)
        return Decision(then=activate)
    if situation.frame.memo.get("source") == source.tag:
        return None
    return Decision(then=Next(Turn.GO, "fill", memo={"source": source.tag}))


def _source_first(situation: Situation, moment: Moment) -> Decision:
    """A bath is poured from a bottle, a bottle from a jug; a jug is opened."""
    if _kind(situation) is Kind.BATH:
        return Decision(then=call("containers", "fill", back_to="fill", kind="bottle"))
    held = _on_hold(situation, moment)
    return Decision(then=call("containers", "jug", back_to="fill", kind="jug", held=held))


def _not_from(situation: Situation, named: str, moment: Moment) -> Text:
    """S5, S6: what was named is not replaced by another without a word, nor what is full of it."""
    known = situation.clinic.containers.get(named)
    if known and is_sound(known, moment.now):
        return say(
            "containers.fill.not_now",
            "Nothing is poured from {source} now: it is good to {good_to} only, or is not what "
            "this soak needs.",
            source=named,
            good_to=good_to(known.discard_by, situation.zone),
        )
    return say(
        "containers.fill.not_noted",
        "Nothing is noted as poured from {source}. If you have just poured from it, throw that "
        "away too and take a clean container.",
        source=named,
    )


def _mixed_in_its_cleaning(situation: Situation) -> Decision:
    """S4: what no strip exists for is never poured ahead; its source is no disinfectant."""
    text = say(
        "containers.fill.single_use",
        "{product} is not poured: it is mixed for one soak, in its cleaning. {clean} and the "
        "device leads there.",
        product=situation.protocol_here.chemistry.title,
    )
    return Decision(says=(Saying(text),), then=BACK)


def _on_hold(situation: Situation, moment: Moment) -> str:
    """S4: what is held for its kin's failed strip, a jug before a bottle; empty for nothing.

    A strip of its own may free it.
    """
    product = situation.protocol_here.chemistry.name
    held = [
        each
        for each in situation.clinic.containers.values()
        if each.kind in {Kind.JUG, Kind.BOTTLE}
        and (each.product, each.fitness) == (product, Fitness.HELD)
        and may_be_tested(each, moment.now)
    ]
    jugs_first = sorted(held, key=lambda each: each.kind is not Kind.JUG)
    return jugs_first[0].tag if jugs_first else ""


FILL = Step(
    name="fill",
    asks=_ask_fill,
    again=_ask_fill_again,
    asks_brief=_ask_fill,
    reads=_read_fill,
    decides=_after_fill,
    answers=("poured", "filled", "topped", "later", "empty"),
    at_least=hands(10),
    skips=_find_source,
    anew=True,
    ages=True,
)

"""TAKE: somebody else carries on, and says whether the probe stayed in (S3, S12, S20)."""

from dataclasses import replace
from datetime import datetime

from flows.cycle.asking import step_on
from flows.cycle.begin import CAUTIONS, out_of_use
from flows.cycle.broken import bath_of, clean_again
from flows.cycle.disinfect import BACK_IN, in_english
from flows.cycle.elsewhere import in_use_by_another, named_elsewhere, put_elsewhere
from flows.cycle.out_early import out_early
from flows.cycle.soaking import SecondIn, second_in
from flows.cycle.unasked import (
    ASK_FOR_IT,
    in_its_bath_again,
    in_unasked,
    may_say_it_is_in,
    told_and_not_taken,
)
from flows.parts.decision import AGAIN, BACK, Decision, Saying, Turn, go, restart
from flows.parts.events import CautionsAcknowledged, Immersed, StepDone
from flows.parts.moment import Moment
from flows.parts.reading import container_named, one_of, typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.in_out import says_out
from flows.replies.plainly import says_plainly
from flows.replies.put_in import says_in
from flows.replies.typed import fold, fold_ours
from flows.rules.release import cautions_due
from flows.rules.soak import contact_time


def _ask_stayed(situation: Situation) -> Text:
    return say(
        "cycle.stayed",
        "{device} is soaking. Did it stay in, untouched, the whole time? Reply {stayed}, or "
        "{moved} if it moved or nobody is sure.",
        device=situation.cycle.device,
    )


def _after_stayed(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "moved":
        return clean_again(situation, "moved", moment)
    cycle = situation.cycle
    return Decision(events=(StepDone(cycle.id, cycle.device, "stayed_in"),), then=BACK)


def _nothing_soaks(situation: Situation, _: Moment) -> Decision | None:
    """On brief texts the detergent ends with IN; where that is asked for, it may long be out."""
    cycle, is_out = situation.cycle, situation.open.frames[0].step == "immerse"
    soaks = cycle.contact or (cycle.detergent and not is_out)
    return None if soaks else Decision(then=BACK)


def _after_cautions(situation: Situation, _: str, __: Moment) -> Decision:
    return Decision(events=(CautionsAcknowledged(situation.who.id),), then=go("stayed"))


def _no_cautions_due(situation: Situation, moment: Moment) -> Decision | None:
    return None if cautions_due(situation.who, moment.now) else step_on("stayed")


TAKE_CAUTIONS = replace(
    CAUTIONS, name="take_cautions", decides=_after_cautions, skips=_no_cautions_due, stands=True
)
"""S20: whoever takes over in a shift of their own has not had them yet, and touches nothing
before that, whatever is told of the probe."""


STAYED = Step(
    name="stayed",
    asks=_ask_stayed,
    again=_ask_stayed,
    asks_brief=_ask_stayed,
    reads=one_of("stayed", "moved"),
    decides=_after_stayed,
    answers=("stayed", "moved"),
    skips=_nothing_soaks,
)


# -- bad news, whichever question is open -------------------------------------------------------


WRONG_WITH_A_PROBE = ("damaged", "stained", "moved", "again")

_AT_THE_START = frozenset({"inspect", "wipe_detergent", "under"})
"""Steps at which nothing has been done yet that is on record."""


def told_of_a_probe(situation: Situation) -> str | None:
    """S3: what a text tells of a probe, by its slug, asked for or not; None for nothing."""
    said = _said_alone(situation)
    if said:
        return said
    if may_say_it_is_in(situation):
        return "in"
    return "out" if says_out(in_english(situation)) else _said_in_small_words(situation)


def told_plainly(situation: Situation) -> str | None:
    """The same by whoever is not asked about it: only where nothing else can be meant."""
    return _said_in_small_words(situation) or _said_alone(situation)


def _said_alone(situation: Situation) -> str | None:
    said = word_of(situation, WRONG_WITH_A_PROBE)
    return None if isinstance(said, NotUnderstood) else said


def _said_in_small_words(situation: Situation) -> str | None:
    """IT IS DAMAGED, V1 CAME OUT."""
    words = situation.vocabulary.words
    said = in_english(situation).without(*situation.clinic.devices)
    plain = {
        "in": "IN",
        "out": "OUT",
        **{slug: fold(words[slug]) for slug in ("damaged", "stained", "moved")},
    }
    return next((slug for slug, word in plain.items() if says_plainly(said, word)), None)


def bad_news(situation: Situation, moment: Moment) -> Decision | None:
    """S3, S7, S13: what is wrong with a probe is taken as said, late or unasked; else None."""
    return _undone(situation, moment) or _begun_anew(situation, moment)


def _undone(situation: Situation, moment: Moment) -> Decision | None:
    cycle, told = (
        situation.clinic.cycles.get(situation.open.cycle or ""),
        told_of_a_probe(situation),
    )
    if cycle is None or told is None:
        return None
    if told == "in":
        return in_unasked(situation, moment)
    if told == "out":
        return _out_early(situation, moment)
    if told == "damaged":
        return None if cycle.for_repair else out_of_use(situation, told)
    return _cleaned_again(situation, told, moment)


def _cleaned_again(situation: Situation, told: str, moment: Moment) -> Decision | None:
    cycle = situation.cycle
    if told == "moved" and _is_in_the_detergent(situation):
        return _cut_short(situation, told, moment)
    is_to_go_back = any(each.step == BACK_IN.name for each in situation.open.frames)
    soaked = cycle.contact is not None or "contact_soak" in cycle.done or is_to_go_back
    washed = "wipe_detergent" in cycle.done and told != "moved"
    return clean_again(situation, told, moment) if soaked or washed else None


def _begun_anew(situation: Situation, moment: Moment) -> Decision | None:
    """S10: nothing is to be undone yet, but an answer of before does not count any more (S13).

    MOVED without its name may be of another, which soaks.
    """
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    told = told_of_a_probe(situation)
    if cycle is None or told not in {"stained", "again", "moved"}:
        return None
    named = any(fold_ours(cycle.device) in line for line in typed(situation).lines)
    if situation.frame.step not in _AT_THE_START or cycle.done - {"inspect"}:
        return None
    if told == "moved" and not named:
        return None
    inspected = "inspect" in cycle.done and not cycle.inspect_again
    anew = clean_again(situation, told, moment)
    return replace(anew, then=restart("wipe_detergent" if inspected else "inspect"))


def told_elsewhere(situation: Situation, moment: Moment) -> Decision | None:
    """The same, where its question is not open and another phone leads it; None for no harm."""
    told = told_plainly(situation)
    if told == "in":
        return _in_unasked_elsewhere(situation, moment)
    if told == "out":
        return _out_early(situation, moment)
    return _undone(situation, moment)


def _in_unasked_elsewhere(situation: Situation, moment: Moment) -> Decision | None:
    """IN is an answer only to whoever was asked for it: else it has been out, or in another bath.

    STILL IN and V1 IS IN T1, where it soaks, break nothing.
    """
    elsewhere, named = named_elsewhere(situation), container_named(situation)
    if "contact_soak" in situation.cycle.done and not elsewhere:
        disturbs = in_use_by_another(situation, bath_of(situation), moment)
        if disturbs or named:
            return disturbs or in_its_bath_again(situation, moment)
        return in_unasked(situation, moment)  # S8: without a tag it may be an old text
    if situation.cycle.contact:
        if not elsewhere and not says_in(in_english(situation)):
            return None
        again = second_in(situation, SecondIn(None, elsewhere), moment)
        return replace(again, then=replace(again.then, turn=Turn.RESTART))
    if situation.frame.step not in ASK_FOR_IT:
        return in_unasked(situation, moment)
    return put_elsewhere(situation, elsewhere, moment) if elsewhere else _noted(situation)


def _noted(situation: Situation) -> Decision | None:
    """S4: it has used the strip; whoever leads it is asked for its reading all the same."""
    told = told_and_not_taken(situation)
    return Decision(events=told, then=AGAIN) if told else None


def _out_early(situation: Situation, moment: Moment) -> Decision | None:
    """Before its bell, whatever was asked in between: that is dropped, and the soak broken."""
    soak = situation.cycle.contact
    if soak is None:
        if _is_in_the_detergent(situation):
            return _cut_short(situation, "early_out", moment)
        was_out = _was_out(situation) or is_said_to_be_early(situation)
        return clean_again(situation, "early_out", moment) if was_out else None
    if soak.rung and not _sent_within(situation, soak.began):
        return None
    back = out_early(situation, moment)
    return replace(back, then=replace(back.then, turn=Turn.RESTART))


def _was_out(situation: Situation) -> bool:
    """S2: whether a carrier has brought an OUT of within the soak only now that it is over."""
    cycle = situation.cycle
    if "contact_soak" not in cycle.done:
        return False
    began = [each.at for each in situation.history(cycle.id) if isinstance(each.event, Immersed)]
    return bool(began) and _sent_within(situation, began[-1])


def _is_in_the_detergent(situation: Situation) -> bool:
    """S1: it is to be nowhere else before its bell; what was sent before is of another soak."""
    soak, sent = situation.cycle.detergent, situation.sent_at
    is_of_it = situation.open.top.flow != "strip_test" or _names_it(situation)
    is_on = soak is not None and soak.rung is None and (sent is None or sent >= soak.began)
    return is_on and is_of_it


def _names_it(situation: Situation) -> bool:
    """Where a strip is dipped or read OUT may be of that; in no other place it comes out."""
    said = sum(typed(situation).lines, ())
    return fold(situation.cycle.device) in said or "PROBE" in said


def _cut_short(situation: Situation, because: str, moment: Moment) -> Decision:
    text = say(
        "cycle.detergent.cut_short",
        "{device}: out of the detergent before its bell, that is too short. Clean it from the "
        "start, please:",
        device=situation.cycle.device,
    )
    return replace(clean_again(situation, because, moment), says=(Saying(text),))


def is_said_to_be_early(situation: Situation) -> bool:
    """S3: I TOOK IT OUT TOO EARLY, owned up to after its soak."""
    return not _EARLY.isdisjoint(typed(situation).words)


_EARLY = frozenset({"EARLY", "EARLIER", "MISTAKE", "SOON"})


def _sent_within(situation: Situation, began: datetime) -> bool:
    least = contact_time(situation.protocol, situation.cycle.celsius_in)
    return situation.sent_at is not None and began <= situation.sent_at < began + least

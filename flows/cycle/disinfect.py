"""Bath and strip, temperature, immersion, contact-time bell, early OUT (S2-S5, S17)."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from flows.cycle.asking import COVERED, example_celsius, is_coached, step_on
from flows.cycle.broken import back_or_again, bath_of, clean_again, fresh, why_not_back
from flows.cycle.clean import bath_is_sound, detergent_ended, detergent_was_long_enough
from flows.cycle.elsewhere import (
    Elsewhere,
    in_use_by_another,
    is_said_in_words,
    named_elsewhere,
    not_back,
    put_elsewhere,
    put_in_unfit,
    was_in,
)
from flows.parts.clinic import Container, Pass
from flows.parts.decision import Decision, go
from flows.parts.events import BathTooCold, Immersed, SoakBroken, StepDone
from flows.parts.moment import Moment
from flows.parts.reading import typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.in_out import InReply, from_in, read_in
from flows.replies.put_in import says_in
from flows.replies.tags import TAG
from flows.replies.touched import was_touched
from flows.replies.typed import Typed
from flows.rules.soak import limit_missed
from flows.rules.strip import pass_of


def _label(situation: Situation) -> str:
    return situation.cycle.device


def example_in(situation: Situation) -> str:
    """How the answer looks: IN 21.5, or IN 72 21.5 where a number must be borne."""
    number = situation.open.number
    word = situation.vocabulary.word("in")
    celsius = example_celsius(situation)
    return f"{word} {number} {celsius}" if number else f"{word} {celsius}"


# -- into the bath ------------------------------------------------------------------------------


def _ask_immerse(situation: Situation) -> Text:
    return say(
        "cycle.immerse",
        "Gloves, goggles. Put {device} in {tag} to the line, no bubbles. Set your own timer too. "
        "Then reply with the bath's temperature: {example}",
        device=_label(situation),
        tag=situation.cycle.bath or "",
        example=example_in(situation),
    )


def _ask_immerse_brief(situation: Situation) -> Text:
    return say(
        "cycle.immerse.brief",
        "{device}: out; rinse 3x, dry. Gloves, goggles. Clean tub? Into {tag} to the line, set a "
        "timer. Reply with bath temperature: {example}",
        device=_label(situation),
        tag=situation.cycle.bath or "",
        example=example_in(situation),
    )


def _ask_immerse_again(situation: Situation) -> Text:
    return say(
        "cycle.immerse.again",
        "{device}: put it in {tag}, set your own timer, then reply with the bath's temperature: "
        "{example}. To clean it from the start: {again}.",
        device=_label(situation),
        tag=situation.cycle.bath or "",
        example=example_in(situation),
    )


_OF_ANOTHER_TEXT = "wrong number"


def _read_immerse(situation: Situation) -> InReply | Elsewhere | str | NotUnderstood:
    again = word_of(situation, ("again",))
    is_to_go_back = situation.frame.step == BACK_IN.name
    if again == "again" or (is_to_go_back and was_touched(typed(situation))):
        return "again"
    said, elsewhere = in_english(situation), named_elsewhere(situation)
    led = from_in(said.without(situation.cycle.device), back=situation.frame.step != "immerse")
    read = read_in(without_tags(led), situation.open.number)
    is_in = isinstance(read, InReply) or says_in(said) or is_said_in_words(situation)
    if elsewhere is None or not is_in or _is_of_another_text(read):
        return read
    return elsewhere


def _is_of_another_text(read: InReply | NotUnderstood) -> bool:
    """S10: with another number it may answer an older question."""
    return isinstance(read, NotUnderstood) and read.hint == _OF_ANOTHER_TEXT


def without_tags(said: Typed) -> Typed:
    """IN T1 21.5 as IN 21.5."""
    return said.without(*(word for word in said.words if TAG.fullmatch(word)))


def in_english(situation: Situation) -> Typed:
    """The reader of IN and OUT knows the English words; in another language they are put in."""
    said = typed(situation)
    words = situation.vocabulary.words
    plain = {words["in"]: "IN", words["out"]: "OUT"}
    return replace(said, words=tuple(plain.get(each, each) for each in said.words))


def _after_immerse(
    situation: Situation, said: InReply | Elsewhere | str, moment: Moment
) -> Decision:
    if isinstance(said, str):
        return clean_again(situation, "asked", moment)
    if isinstance(said, Elsewhere):
        return put_elsewhere(situation, said, moment)
    return put_in(situation, said, moment)


def put_in(situation: Situation, said: InReply, moment: Moment, *events: SoakBroken) -> Decision:
    """S2, S4, S17, S21: into the bath, if bath and temperature are fit; *events* come first."""
    ended = situation.sent_at or moment.now
    own = situation.cycle.bath or ""
    if situation.cycle.detergent and not detergent_was_long_enough(situation, ended):
        return Decision((was_in(situation, own, "no_detergent"),), then=go("under"))
    before = (*events, *detergent_ended(situation, ended), *_stated_before(situation))
    no_soak = _no_soak(situation, said.reading.celsius, moment)
    if no_soak:
        return replace(no_soak, events=(*before, *no_soak.events))
    immersed = immerse(situation, said.reading.celsius, moment)
    return Decision((*before, immersed), then=go("soaking"))


def _no_soak(situation: Situation, celsius: Decimal, moment: Moment) -> Decision | None:
    """Why it was put in and does not soak; None where it does."""
    in_use = in_use_by_another(situation, bath_of(situation), moment)
    if in_use:
        return in_use
    why = why_not_back(situation, moment) if _was_in(situation) else None
    if why:
        return not_back(situation, why)
    if _needs_a_bath(situation, moment):
        return put_in_unfit(situation, moment)
    return _too_cold(situation, celsius, moment)


def _was_in(situation: Situation) -> bool:
    """S3: whether it has been in its bath already, so that no other bath takes it uncleaned."""
    return situation.frame.step != IMMERSE.name


def _stated_before(situation: Situation) -> tuple[StepDone, ...]:
    """On brief texts IN states that the device was rinsed and dried and the tub is clean."""
    if is_coached(situation):
        return ()
    cycle = situation.cycle
    return tuple(
        StepDone(cycle.id, cycle.device, what, stated_with="immerse")
        for what in COVERED["immerse"]
        if what not in cycle.done
    )


def _needs_a_bath(situation: Situation, moment: Moment) -> Decision | None:
    """S4, S5: out of date, failed, held, or its strip used up: IN is refused, not asked for."""
    bath = bath_of(situation)
    if bath and bath_is_sound(situation, moment) and _pass(situation, bath, moment):
        return None
    return step_on("bath")


def _pass(situation: Situation, bath: Container, moment: Moment) -> Pass | None:
    cycle = situation.cycle
    return pass_of(situation.clinic, bath, cycle.id, situation.protocol, moment.now)


def _too_cold(situation: Situation, celsius: Decimal, moment: Moment) -> Decision | None:
    """S17: no rounding up to the limit; a longer soak does not rescue a cold bath."""
    cycle, limit = situation.cycle, limit_missed(celsius, situation.protocol)
    if limit is None:
        return None
    return Decision(
        events=(
            was_in(situation, cycle.bath or "", "too_cold"),
            BathTooCold(cycle.id, cycle.device, celsius, limit),
        ),
        then=go(
            "warm",
            number=fresh(situation, "warm", moment),
            celsius=str(celsius),
            least=str(limit),
            broke="",
        ),
    )


def immerse(situation: Situation, celsius: Decimal, moment: Moment) -> Immersed:
    """S2: the contact time begins now, when this text is handled, and not a moment sooner."""
    cycle, protocol = situation.cycle, situation.protocol
    bath = situation.clinic.containers[cycle.bath or ""]
    passed = pass_of(situation.clinic, bath, cycle.id, protocol, moment.now)
    return Immersed(
        cycle=cycle.id,
        device=cycle.device,
        bath=bath.tag,
        bath_discard_by=bath.discard_by,
        strip_test=passed.test if passed else "",
        strip_good_until=passed.good_until if passed else moment.now,
        celsius=celsius,
        due=moment.now + protocol.bell_after_at(celsius),
        number=fresh(situation, "contact", moment),
        strip_in=_dipped_in(bath, passed),
    )


def _dipped_in(bath: Container, passed: Pass | None) -> str:
    if passed is None or not passed.test:
        return ""
    return bath.tag if passed == bath.passed else bath.source or ""


IMMERSE = Step(
    name="immerse",
    asks=_ask_immerse,
    again=_ask_immerse_again,
    asks_brief=_ask_immerse_brief,
    reads=_read_immerse,
    decides=_after_immerse,
    answers=("in", "again"),
    at_least=lambda s: timedelta(seconds=3 if is_coached(s) else 15),
    skips=_needs_a_bath,
    lapsed=_needs_a_bath,
)


# -- too cold: warm it, begin again -------------------------------------------------------------


def _ask_warm(situation: Situation) -> Text:
    memo = situation.frame.memo
    return say(
        "cycle.warm",
        "{celsius} C: the limit is {least} C, longer does not help. Take {device} out, bring "
        "{tag} in range, put it in, set your own timer: {example}",
        celsius=Decimal(memo.get("celsius", "0")),
        least=Decimal(memo.get("least", "0")),
        device=_label(situation),
        tag=situation.cycle.bath or "",
        example=example_in(situation),
    )


WARM = Step(
    name="warm",
    asks=_ask_warm,
    again=_ask_immerse_again,
    asks_brief=_ask_warm,
    reads=_read_immerse,
    decides=_after_immerse,
    answers=("in", "again"),
    skips=back_or_again,
    lapsed=back_or_again,
)


# -- a break: straight back in, or from the start -----------------------------------------------


def _ask_back(situation: Situation) -> Text:
    if situation.frame.memo.get("because") == "second_in":
        return say(
            "cycle.broken.second_in",
            "{device}: in once more, so its soak begins anew. Untouched, back in {tag}? Reply "
            "with its temperature: {example}. Touched, or not sure: {again}.",
            device=_label(situation),
            tag=situation.cycle.bath or "",
            example=example_in(situation),
        )
    if situation.frame.memo.get("because") == "not_in":
        return say(
            "cycle.broken.not_in",
            "{device}: so its soak has not begun. Once it is in {tag} to the line, set your timer "
            "and reply {example}. Touched, or not sure: {again}.",
            device=_label(situation),
            tag=situation.cycle.bath or "",
            example=example_in(situation),
        )
    short = timedelta(seconds=int(situation.frame.memo.get("short_s", "0")))
    if short <= timedelta(0):
        return say(
            "cycle.broken.unproved",
            "{device}: this soak cannot be counted. Untouched? Straight back in {tag}, set your "
            "timer, reply {example}. Touched, or not sure: {again}.",
            device=_label(situation),
            tag=situation.cycle.bath or "",
            example=example_in(situation),
        )
    return say(
        "cycle.broken",
        "{device} came out {span} too early. Untouched? Straight back in {tag}, set your timer, "
        "reply {example}. Touched, or not sure: {again}.",
        device=_label(situation),
        tag=situation.cycle.bath or "",
        span=short,
        example=example_in(situation),
    )


BACK_IN = Step(
    name="back_in",
    asks=_ask_back,
    again=_ask_immerse_again,
    asks_brief=_ask_back,
    reads=_read_immerse,
    decides=_after_immerse,
    answers=("in", "again"),
    skips=back_or_again,
    lapsed=back_or_again,
)

"""MIX 0.1 5 L: chlorine from the site's own bleach or powder, or from what was typed."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from flows.calculations.calendar import last_good_moment
from flows.calculations.chlorine import (
    MIXED_LIFE_DAYS,
    bleach_percent,
    from_bleach,
    from_powder,
    was_mixed_before,
)
from flows.calculations.chlorine_source import Source, source_as_written
from flows.calculations.measuring import Measured
from flows.calculations.strength import IN_PERCENT, Impossible
from flows.containers.mixed import SOAK as FOR_A_SOAK
from flows.containers.mixed import Batchwise, mixing
from flows.containers.mixing_words import (
    SOURCE,
    has_chlorine,
    may_soak,
    no_such_strength,
    refused,
    taken,
    way_of,
)
from flows.parts.decision import Decision, told
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.stock import CHLORINE
from flows.parts.text import Text, Value, say
from flows.replies.amounts import Amounts, Strength
from flows.replies.typed import fold
from flows.rules.amount_words import dose, shown, volume
from flows.rules.good_to import good_to_on_label

MEASURE = "chlorine_measure"
SOAK_PERCENT = Fraction(1, 10)
"""The one strength that a device soaks in, where its maker allows it.
Source: Reference Manual hosted by the IARC Screening Group, Table C-1."""

TO_SOAK, TO_WIPE = "single_use", "to_wipe"
"""So begin the steps that ask about the mixture for a soak, or to wipe handle and cable with."""

WEAKEST = Fraction(1, 1000)
"""Percent chlorine: a weaker strength would be said as 0 %."""


def chlorine(situation: Situation, asked: Amounts, moment: Moment) -> Decision:
    """How much of what, and the label; or in one text why not."""
    instead = _instead(situation, asked)
    if instead:
        return told(instead)
    source = source_of(situation, asked.strengths[1:])
    if source is None:
        return told(which())
    wanted = exactly(asked.strengths[0])
    if isinstance(wanted, Impossible) or isinstance(source, Impossible):
        return told(no_such_strength())
    amount = measured_out(situation, asked, wanted, source)
    if isinstance(amount, Impossible):
        again = _as_powder(asked, wanted, source.percent)
        return told(refused(amount, wanted, source.percent, again))
    made = Made(source, wanted, amount.amount, asked.volume_ml)
    refusal = no_source(situation, made, is_named=len(asked.strengths) > 1)
    if refusal:
        return told(refusal)
    return given(situation, made, recipe(asked, amount, source, made.true, wanted), moment)


def _instead(situation: Situation, asked: Amounts) -> Text | None:
    """What is said where MIX is not the way: no chlorine here, or it answers what is asked."""
    if not has_chlorine(situation):
        return none_here()
    bottle = _bottle_asked_for(situation, asked.strengths)
    return _is_an_answer(bottle, asked.volume_ml) if bottle else None


@dataclass(frozen=True, slots=True)
class Made:
    """So many ml or g of a source, with water up to a volume."""

    source: Source
    wanted: Fraction
    amount: Fraction
    volume_ml: Decimal

    @property
    def true(self) -> Fraction:
        """Percent of what comes of it, rounding counted."""
        return self.amount * self.source.percent / Fraction(self.volume_ml)


def no_source(situation: Situation, made: Made, *, is_named: bool) -> Text | None:
    """Why it gets no water: as weak as what is mixed, or already as it is wanted."""
    if _is_soak(situation, made.wanted):
        is_mixed = was_mixed_before(made.source.percent, made.wanted)
        return _mixed_before(made.source.percent) if is_mixed else None
    if made.amount != made.volume_ml:
        return None
    # By itself it can only be the strength of what is at hand, and none that is wanted.
    return _as_it_is(made.wanted) if is_named else how_strong(situation, made.volume_ml)


def given(situation: Situation, made: Made, words: Text, moment: Moment) -> Decision:
    """The recipe; then the label, or the question whether it was mixed."""
    if _is_soak(situation, made.wanted) and is_amount_asked_for(situation):
        return told(_is_an_answer(made.source, made.volume_ml))
    batch = Batchwise(
        use=FOR_A_SOAK if _is_soak(situation, made.wanted) else CHLORINE,
        product=CHLORINE,
        strength=f"{shown(made.true)} %",
        volume_ml=made.volume_ml,
        lot_of=made.source.kind,
        wanted=str(made.wanted),
    )
    return mixing(situation, words, _label(situation, batch, made.true, moment), batch)


def is_amount_asked_for(situation: Situation) -> bool:
    """S1, S4: what is mixed beside that question is on no record, so it is for nothing."""
    return any(each.top.step.startswith((TO_SOAK, TO_WIPE)) for each in situation.threads_here)


def _bottle_asked_for(situation: Situation, strengths: Sequence[Strength]) -> Source | None:
    """MIX 5% 2 L, where a bottle's strength is asked: that of one as bought, and none wanted."""
    percent = exactly(strengths[0])
    if len(strengths) > 1 or isinstance(percent, Impossible) or not is_amount_asked_for(situation):
        return None
    is_bought = not was_mixed_before(percent, SOAK_PERCENT)
    return Source(kind_named(situation) or "bleach", percent) if is_bought else None


def _is_soak(situation: Situation, wanted: Fraction) -> bool:
    return wanted == SOAK_PERCENT and may_soak(situation)


def source_of(situation: Situation, typed_of: Sequence[Strength]) -> Source | Impossible | None:
    """What was typed beside the strength wanted, else what the site has on file.

    None where the one is named and the other is on file: powder is many times as strong.
    """
    named = kind_named(situation)
    if not typed_of:
        on_file = source_as_written(way_of(situation, SOURCE))
        return on_file if on_file and named in {None, on_file.kind} else None
    exact = exactly(typed_of[0])
    if isinstance(exact, Impossible):
        return exact
    return Source(named or "bleach", exact)


def kind_named(situation: Situation) -> str | None:
    """Whether it is called bleach or powder; bleach powder is powder."""
    words = typed(situation).words
    kinds = (each for each in ("powder", "bleach") if _word(situation, each) in words)
    return next(kinds, None)


def _word(situation: Situation, slug: str) -> str:
    return fold(situation.vocabulary.word(slug))


def exactly(strength: Strength) -> Fraction | Impossible:
    """A strength as typed, in percent; Impossible where nothing can be so strong, or so weak."""
    percent = IN_PERCENT[strength.unit](strength.value)
    if isinstance(percent, Fraction) and percent < WEAKEST:
        return Impossible("not above zero")
    return percent


def measured_out(
    situation: Situation, asked: Amounts, wanted: Fraction, source: Source
) -> Measured | Impossible:
    """How much of the source makes the whole of that strength, in the site's own measure."""
    whole = Fraction(asked.volume_ml)
    if source.kind == "powder":
        powder = from_powder(whole, source.percent, wanted)
        if isinstance(powder, Impossible):
            return powder
        return taken(situation, MEASURE, powder.grams, "g", whole)
    strong = bleach_percent(source.percent)
    if isinstance(strong, Impossible):
        return strong
    bleach = from_bleach(whole, strong, wanted)
    if isinstance(bleach, Impossible):
        return bleach
    return taken(situation, MEASURE, bleach.source_ml, "ml", whole)


# -- the words ----------------------------------------------------------------------------------


def recipe(
    asked: Amounts, amount: Measured, source: Source, true: Fraction, wanted: Fraction
) -> Text:
    """Water first, plastic, nothing else with it.

    Source: MSF, Management of a cholera epidemic, App. 15; boiled water for the soak of a device:
    Reference Manual hosted by the IARC Screening Group, Table C-1; acid and ammonia: from memory,
    general chemical safety.
    """
    values: dict[str, Value] = {
        "percent": shown(true),
        "source_percent": shown(source.percent),
        "dose": dose(amount),
        "volume": volume(asked.volume_ml),
        "water_kind": water_for(wanted),
    }
    if source.kind == "powder":
        return say(
            "mix.chlorine.powder",
            "{percent} % chlorine: {water_kind} first, {dose} powder {source_percent} %, water to "
            "{volume} in all. Plastic; no acid, no ammonia. Use it clear.",
            **values,
        )
    return say(
        "mix.chlorine.bleach",
        "{percent} % chlorine: {water_kind} first, {dose} bleach {source_percent} %, water to "
        "{volume} in all. Plastic; no acid, no ammonia.",
        **values,
    )


def water_for(wanted: Fraction) -> Text:
    """Boiled for the soak of a device."""
    return _boiled() if wanted == SOAK_PERCENT else _clean()


def _boiled() -> Text:
    return say("mix.water.boiled", "boiled, cooled water")


def _clean() -> Text:
    return say("mix.water.clean", "cold clean water")


def _label(situation: Situation, batch: Batchwise, true: Fraction, moment: Moment) -> Text:
    """S5: good for a day at most. Within a cleaning it gets no tag, and the label says why.

    What a probe soaks in is asked for by the cycle, and labelled there.
    """
    ends = last_good_moment(moment.now, MIXED_LIFE_DAYS, situation.zone)
    values: dict[str, Value] = {
        "volume": volume(batch.volume_ml),
        "percent": shown(true),
        "time": moment.now,
        "good_to": good_to_on_label(ends, situation.zone),
    }
    if batch.use == FOR_A_SOAK:
        return say(
            "mix.chlorine.label.soak",
            "Write on it: {volume} chlorine {percent} %, mixed {time}, good to {good_to}, to "
            "wipe, NOT to soak. No tag: a bath is asked for apart. Name too.",
            **values,
        )
    return say(
        "mix.chlorine.label",
        "Write on it: {volume} chlorine {percent} %, mixed {time}, good to {good_to}, NOT for a "
        "probe. Name too. No tag: a cleaning does not record it.",
        **values,
    )


def _is_an_answer(source: Source, volume_ml: Decimal) -> Text:
    of_it = _of_powder if source.kind == "powder" else _of_bleach
    return say(
        "mix.chlorine.is_an_answer",
        "That chlorine is asked for already, and goes on the record there. Please answer that "
        "without {mix}, like {example}.",
        example=of_it(source, volume_ml),
    )


def _of_bleach(source: Source, volume_ml: Decimal) -> Text:
    return say(
        "mix.chlorine.of_bleach",
        "{source_percent}% {volume}",
        source_percent=shown(source.percent),
        volume=volume(volume_ml),
    )


def _of_powder(source: Source, volume_ml: Decimal) -> Text:
    return say(
        "mix.chlorine.of_powder",
        "{source_percent}% {powder} {volume}",
        source_percent=shown(source.percent),
        volume=volume(volume_ml),
    )


def none_here() -> Text:
    return say(
        "mix.chlorine.none",
        "No chlorine is set up at this site, so I do not mix it. Please ask your contact. "
        "Detergent: {mix} 2 L.",
    )


def how_strong(situation: Situation, volume_ml: Decimal) -> Text:
    """Chlorine was asked for, and no strength."""
    if not has_chlorine(situation):
        return none_here()
    return say(
        "mix.chlorine.how_strong",
        "How strong is the chlorine to be? Its percent first, like {mix} 0.1% {volume}. "
        "Detergent: {mix} {volume}.",
        volume=volume(volume_ml),
    )


def which() -> Text:
    return say(
        "mix.chlorine.which",
        "Which bleach? Its strength stands on the bottle: {mix} 0.1% 5 L 3.5%, or 12 DEGREES; "
        "for powder {mix} 0.1% 5 L 70% {powder}.",
    )


def _as_powder(asked: Amounts, wanted: Fraction, source: Fraction) -> Text:
    return say(
        "mix.no_liquid.as_powder",
        "{mix} {percent}% {volume} {source_percent}% {powder}",
        percent=shown(wanted),
        volume=volume(asked.volume_ml),
        source_percent=shown(source),
    )


def _as_it_is(wanted: Fraction) -> Text:
    """What already has the strength that is wanted."""
    return say(
        "mix.chlorine.as_it_is",
        "It is {percent} % already: no water to it. Mixed before today it may have weakened: then "
        "mix new from the bottle as bought.",
        percent=shown(wanted),
    )


def _mixed_before(source: Fraction) -> Text:
    """What soaks a device is mixed from the bottle as bought."""
    return say(
        "mix.chlorine.mixed_before",
        "{source_percent} % is weaker than any bleach as bought: mixed before, it may have "
        "weakened. For a soak use the bottle as bought, like {mix} 0.1% 2 L 5%.",
        source_percent=shown(source),
    )

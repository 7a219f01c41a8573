"""MIX 0.1% FROM 100 ML 5%: how much chlorine an amount of bleach or powder makes."""

from decimal import Decimal
from fractions import Fraction

from flows.calculations.chlorine import bleach_percent, made_of_bleach, made_of_powder
from flows.calculations.chlorine_source import Source
from flows.calculations.measuring import whole_ml
from flows.calculations.strength import Impossible
from flows.containers.mixing_chlorine import (
    Made,
    exactly,
    given,
    kind_named,
    no_source,
    none_here,
    source_of,
    water_for,
)
from flows.containers.mixing_words import has_chlorine, no_such_strength, refused
from flows.parts.decision import Decision, told
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, Value, say
from flows.replies.amounts import PLAUSIBLE_ML
from flows.replies.made_from import MadeFrom
from flows.rules.amount_words import ml_or_grams, shown, volume


def chlorine_from(situation: Situation, asked: MadeFrom, moment: Moment) -> Decision:
    """How much of the wanted strength it makes, and the label; or in one text why not."""
    if not has_chlorine(situation):
        return told(none_here())
    source = _source(situation, asked)
    if asked.wanted is None or source is None:
        return told(makes(situation))
    wanted = exactly(asked.wanted)
    if isinstance(wanted, Impossible) or isinstance(source, Impossible):
        return told(no_such_strength())
    total = _total_ml(asked, source, wanted)
    if isinstance(total, Impossible):
        return told(refused(total, wanted, source.percent, _as_powder(wanted, source.percent)))
    made = Made(source, wanted, Fraction(asked.amount), whole_ml(total))
    if not is_for_a_sink(made.volume_ml):
        return told(no_amount())
    refusal = no_source(situation, made, is_named=asked.of is not None)
    return told(refusal) if refusal else given(situation, made, _recipe(made), moment)


def _source(situation: Situation, asked: MadeFrom) -> Source | Impossible | None:
    """Bleach is poured and powder is weighed; None where amount or name is of the other."""
    source = source_of(situation, [asked.of] if asked.of else [])
    if not isinstance(source, Source):
        return source
    if asked.of and asked.unit == "g" and kind_named(situation) != "bleach":
        return Source("powder", source.percent)
    return source if (source.kind == "powder") == (asked.unit == "g") else None


def _total_ml(asked: MadeFrom, source: Source, wanted: Fraction) -> Fraction | Impossible:
    if source.kind == "powder":
        powder = made_of_powder(asked.amount, source.percent, wanted)
        return powder if isinstance(powder, Impossible) else powder.total_ml
    strong = bleach_percent(source.percent)
    if isinstance(strong, Impossible):
        return strong
    bleach = made_of_bleach(asked.amount, strong, wanted)
    return bleach if isinstance(bleach, Impossible) else bleach.total_ml


def is_for_a_sink(volume_ml: Decimal) -> bool:
    """Whether so much is mixed at once."""
    return PLAUSIBLE_ML[0] <= volume_ml <= PLAUSIBLE_ML[1]


# -- the words ----------------------------------------------------------------------------------


def _recipe(made: Made) -> Text:
    """Sources: as `mixing_chlorine.recipe`."""
    values: dict[str, Value] = {
        "at_hand": ml_or_grams(made.amount, "g" if made.source.kind == "powder" else "ml"),
        "source_percent": shown(made.source.percent),
        "volume": volume(made.volume_ml),
        "percent": shown(made.true),
        "water_kind": water_for(made.wanted),
    }
    if made.source.kind == "powder":
        return say(
            "mix.from.powder",
            "{at_hand} powder {source_percent} % makes {volume} of {percent} %: {water_kind} "
            "first, then it, water to {volume}. Plastic; no acid, no ammonia. Use it clear.",
            **values,
        )
    return say(
        "mix.from.bleach",
        "{at_hand} bleach {source_percent} % makes {volume} of {percent} %: {water_kind} first, "
        "then it, water to {volume} in all. Plastic; no acid, no ammonia.",
        **values,
    )


def makes(situation: Situation) -> Text:
    """How to ask what an amount makes."""
    if not has_chlorine(situation):
        return say(
            "mix.from.no_chlorine",
            "What does it make? {mix} {from} 10 ML says how much water so much detergent is for.",
        )
    return say(
        "mix.from",
        "What does it make? Strength wanted, {from}, what you have, its strength: {mix} 0.1% "
        "{from} 100 ML 5%; of powder 10 G 70%. Detergent: {mix} {from} 10 ML.",
    )


def no_amount() -> Text:
    """Of so much or so little nobody mixes at once."""
    return say(
        "mix.from.amount",
        "That makes less than 50 ML or more than 50 L, which is not mixed at once. Another "
        "amount, please.",
    )


def _as_powder(wanted: Fraction, source: Fraction) -> Text:
    return say(
        "mix.from.as_powder",
        "{mix} {percent}% {from} 10 G {source_percent}%",
        percent=shown(wanted),
        source_percent=shown(source),
    )

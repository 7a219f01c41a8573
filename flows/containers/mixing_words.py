"""What MIX takes and says: the site's own measures, what is asked back, what cannot be mixed."""

from decimal import Decimal
from fractions import Fraction

from flows.calculations.chlorine import STRONGEST_BLEACH
from flows.calculations.measuring import (
    Measured,
    as_measured,
    measure_as_written,
)
from flows.calculations.strength import Impossible
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.amounts import OwnUnits, is_not_metric
from flows.replies.typed import fold
from flows.rules.amount_words import shown

SOURCE = "chlorine_source"
SOAK = "chlorine_01"


def way_of(situation: Situation, key: str) -> str:
    """What the site has set for itself under *key*; empty for nothing."""
    return situation.site.way(key)


def taken(
    situation: Situation, key: str, exact: Fraction, unit: str, at_most: Fraction
) -> Measured | Impossible:
    """*exact* in the site's own measure under *key*, where it is of that unit and fine enough.

    Never more than *at_most*, which is the whole.
    """
    return as_measured(exact, measure_as_written(way_of(situation, key)), unit, at_most)


def own_units(situation: Situation, key: str) -> OwnUnits:
    """The site's measure under *key*, as it is typed: one SCOOP, or three SCOOPS."""
    own = measure_as_written(way_of(situation, key))
    if own is None:
        return {}
    size = Decimal(own.size.numerator) / own.size.denominator
    name = fold(own.name)
    return dict.fromkeys((name, f"{name}S"), (size, own.unit))


def has_chlorine(situation: Situation) -> bool:
    """Whether the site mixes chlorine: a source on file, or a device that may soak in it."""
    return bool(way_of(situation, SOURCE)) or may_soak(situation)


def may_soak(situation: Situation) -> bool:
    """Whether a device here may soak in chlorine."""
    models = {device.model for device in situation.clinic.devices.values()}
    return any(SOAK in situation.today(model).device_model.chemistries for model in models)


def how(situation: Situation) -> Text:
    """What can be asked of MIX, and nothing that it then refuses."""
    if not has_chlorine(situation):
        return say(
            "mix.how.no_chlorine",
            "How much? Detergent: {mix} 2 L. Also {mix} {water}, {mix} {cold}, {mix} {waste} 2 L.",
        )
    return say(
        "mix.how",
        "How much? Detergent: {mix} 2 L. Chlorine 0.1 % of 3.5 % bleach: {mix} 0.1% 5 L 3.5%. "
        "Also {mix} {water}, {mix} {cold}, {mix} {waste} 2 L.",
    )


def asked_back(doubt: NotUnderstood, situation: Situation) -> Text:
    """One kind text for each way in which amounts can be unclear."""
    if doubt.hint == "unit" and is_not_metric(typed(situation)):
        return say(
            "mix.gallons",
            "Gallons, pints and ounces are not taken: they differ by country. How many L or ML, "
            "please? Like {mix} 2 L.",
        )
    if doubt.hint == "unit" and doubt.value is not None:
        return _of_what(situation, doubt.value)
    if doubt.hint == "band":
        return say(
            "mix.band",
            "Under, about or from-to is no strength: it may hold half of it. One number from its "
            "label, please, like {mix} 0.1% 5 L 3.5%. None on it? Ask your contact.",
        )
    if doubt.hint == "impossible":
        return say(
            "mix.volume",
            "That volume cannot be right. From 50 ML to 50 L, please, like {mix} 2 L.",
        )
    if doubt.hint == "empty":
        return how(situation)
    return _unclear(situation)


def _of_what(situation: Situation, value: Decimal) -> Text:
    if not has_chlorine(situation):
        return say(
            "mix.unit.no_chlorine",
            "{amount} of what? Its unit too, please: L or ML. Like {mix} 2 L.",
            amount=shown(Fraction(value)),
        )
    return say(
        "mix.unit",
        "{amount} of what? Its unit too, please: L or ML (G behind {from}), % of the "
        "bottle or DEGREES. Like {mix} 2 L, or {mix} 0.1% 5 L 3.5%.",
        amount=shown(Fraction(value)),
    )


def no_volume() -> Text:
    """Strengths, and nothing that is to be made or is there."""
    return say(
        "mix.no_volume",
        "The amount is missing: how many L or ML? Like {mix} 0.1% 5 L 3.5%, or of what is there: "
        "{mix} 0.1% {from} 100 ML 5%.",
    )


def _unclear(situation: Situation) -> Text:
    if not has_chlorine(situation):
        return say(
            "mix.unclear.no_chlorine",
            "I am not sure of the amounts. One volume, no comma in thousands: {mix} 2 L.",
        )
    return say(
        "mix.unclear",
        "I am not sure of the amounts. One volume, no comma in thousands: {mix} 2 L, or "
        "{mix} 0.1% 5 L 3.5%.",
    )


def no_such_strength() -> Text:
    """Nothing, less than nothing, or more than all."""
    return say(
        "mix.strength",
        "That strength cannot be. From 0.001 to 100 %, please, like {mix} 0.1% 5 L 3.5%.",
    )


def refused(reason: Impossible, wanted: Fraction, source: Fraction, as_powder: Text) -> Text:
    """Why it cannot be mixed; *as_powder* is how the same is asked for of powder."""
    if reason.because == "no liquid":
        return say(
            "mix.no_liquid",
            "{source_percent} % is too strong for liquid bleach, {most} % at most. Is it powder? "
            "Then text {example}. If not, look at the bottle again.",
            source_percent=shown(source),
            most=shown(STRONGEST_BLEACH),
            example=as_powder,
        )
    if reason.because == "too coarse":
        return too_little()
    return say(
        "mix.stronger",
        "{source_percent} % cannot make {percent} %: water only weakens. Please look at the "
        "bottle again; at most {source_percent} % can be made of it.",
        percent=shown(wanted),
        source_percent=shown(source),
    )


def too_little() -> Text:
    """So small an amount that rounding it up would make it far too strong."""
    return say(
        "mix.too_little",
        "So little cannot be measured well enough. It is what goes into the water that counts: "
        "please make more at once, like {mix} 2 L.",
    )

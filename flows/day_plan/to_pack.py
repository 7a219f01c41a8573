"""What to pack for the day, in two texts: what is bought, and the water."""

from collections.abc import Mapping
from datetime import timedelta

from flows.calculations.chlorine_source import Source, source_as_written
from flows.calculations.measuring import measure_as_written
from flows.calculations.mixed_fresh import MadeOf
from flows.calculations.packing import packing
from flows.calculations.planning import Plan
from flows.calculations.rinsing import rinse_water
from flows.parts.situation import Situation
from flows.parts.text import Text, Value, say


def to_pack(situation: Situation, made: Plan, open_for: timedelta) -> tuple[Text, Text]:
    """The packing list of the plan, with what the site mixes of and measures with."""
    source = source_as_written(situation.site.way("chlorine_source"))
    own = measure_as_written(situation.site.way("chlorine_measure"))
    cap = measure_as_written(situation.site.way("detergent_measure"))
    made_of = MadeOf(source, own) if source else None
    items = packing(made, open_for, made_of=made_of, cap=cap)
    amounts = {item.slug: item.amount for item in items}
    return _bought(made, amounts, source), _water(made, amounts)


def _bought(made: Plan, amounts: Mapping[str, int], source: Source | None) -> Text:
    values: dict[str, Value] = {
        "towels": amounts["towels"],
        "gloves": amounts["gloves"],
        "covers": amounts["covers"],
        "drapes": amounts.get("drapes", 0),
        "detergent_ml": amounts["detergent"],
    }
    if "source" in amounts and source:
        return _source(source, amounts, values)
    values |= {
        "product_ml": amounts["disinfectant"],
        "product": made.protocol.chemistry.title,
    }
    if "mixing_water" in amounts:
        return _without_source(source, amounts["mixing_water"], values)
    return _ready_made(made, amounts, values)


def _ready_made(made: Plan, amounts: Mapping[str, int], values: Mapping[str, Value]) -> Text:
    """What comes as it is used, with its strips, and with what makes it harmless afterwards."""
    strips = {"strips": amounts["strips"], "strips_more": amounts.get("strips_check", 0)}
    if "neutraliser" in amounts:
        return say(
            "plan.pack.neutralise",
            "Pack: towels {towels}, glove pairs {gloves}, covers {covers}, drapes {drapes}, "
            "strips {strips} (new bottle: {strips_more} more), {product_ml} mL {product}, "
            "{amount} g {neutraliser}, {detergent_ml} mL detergent.",
            amount=amounts["neutraliser"],
            neutraliser=made.protocol.chemistry.neutraliser or "",
            **strips,
            **values,
        )
    return say(
        "plan.pack",
        "Pack: towels {towels}, glove pairs {gloves}, covers {covers}, drapes {drapes}, strips "
        "{strips} (new bottle: {strips_more} more), {product_ml} mL {product}, {detergent_ml} mL "
        "detergent.",
        **strips,
        **values,
    )


def _without_source(source: Source | None, litres: int, values: Mapping[str, Value]) -> Text:
    """S4: of what it is to be mixed is not known, or cannot make it."""
    if source:
        return say(
            "plan.pack.too_weak",
            "Pack: towels {towels}, glove pairs {gloves}, covers {covers}, drapes {drapes}, "
            "bleach (yours too weak) for {product_ml} mL {product}, {litres} L boiled water, "
            "{detergent_ml} mL detergent.",
            litres=litres,
            **values,
        )
    return say(
        "plan.pack.no_source",
        "Pack: towels {towels}, glove pairs {gloves}, covers {covers}, drapes {drapes}, bleach "
        "(none on file) for {product_ml} mL {product}, {litres} L boiled water, {detergent_ml} "
        "mL detergent.",
        litres=litres,
        **values,
    )


def _source(source: Source, amounts: Mapping[str, int], values: Mapping[str, Value]) -> Text:
    """S4: what is mixed for each soak is packed as it is bought."""
    mixed: dict[str, Value] = {
        "amount": amounts["source"],
        "source_percent": source.shown,
        "litres": amounts["mixing_water"],
    }
    if source.kind == "powder":
        return say(
            "plan.pack.powder",
            "Pack: towels {towels}, glove pairs {gloves}, covers {covers}, drapes {drapes}, "
            "{amount} g powder {source_percent} %, {litres} L boiled water to mix it, "
            "{detergent_ml} mL detergent.",
            **mixed,
            **values,
        )
    return say(
        "plan.pack.bleach",
        "Pack: towels {towels}, glove pairs {gloves}, covers {covers}, drapes {drapes}, {amount} "
        "mL bleach {source_percent} %, {litres} L boiled water to mix it, {detergent_ml} mL "
        "detergent.",
        **mixed,
        **values,
    )


def _water(made: Plan, amounts: Mapping[str, int]) -> Text:
    """Rinse water by product, a bath by device."""
    chemistry = made.protocol.chemistry
    return say(
        "plan.rinse",
        "Rinse: {water_l} L {rinse_water} ({times} x {litres} L a probe, {lasts}). Detergent, and "
        "to rinse it off: {tap_l} L. A bath takes {product_ml} mL.",
        water_l=amounts["rinse_water"],
        rinse_water=chemistry.rinse_water,
        times=chemistry.rinse_count,
        litres=chemistry.rinse_volume_l,
        lasts=rinse_water(chemistry).lasts,
        tap_l=amounts["detergent_water"],
        product_ml=made.protocol.device_model.bath_volume_ml,
    )

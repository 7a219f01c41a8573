"""MIX WATER, COLD, WASTE: rinsing, warming, making harmless, each by its own product's figures."""

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from flows.calculations.neutralising import neutraliser_g
from flows.calculations.rinsing import rinse_water
from flows.containers.one_life import product_here, what_is_in
from flows.containers.which_product import meant, soaked_in
from flows.parts.clinic import Container, Kind, StripBottle
from flows.parts.product_named import name_to_say, words_naming
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry
from flows.replies import NotUnderstood
from flows.replies.amounts import Amounts, of_what
from flows.replies.numbers import figures
from flows.replies.typed import fold
from flows.rules.amount_words import shown, volume

ABOUT_ONE = ("water", "cold", "waste")
"""The words behind MIX that ask for figures of one disinfectant."""

_BESIDE = frozenset(
    {"BATH", "BATHS", "TUB", "TUBS", "BOTTLE", "BOTTLES", "JUG", "JUGS", "BUCKET", "BUCKETS"}
    | {"PROBE", "PROBES", "RINSE", "RINSES", "RINSING", "DISINFECTANT", "OLD", "USED", "SPENT"}
    | {"REST", "ALL", "THIS", "TODAY", "DRAIN", "SINK", "AWAY", "LEFT"}
    | {"HOW", "MUCH", "WARM", "TOO", "IS", "IT"}
)
"""What people say beside it that names no liquid. Source: common practice, none published."""

_A_NAME = 14
"""So many letters of a word are said back, as of a product's name."""


def told_of(situation: Situation, slug: str, asked: Amounts | NotUnderstood) -> Text:
    """By the figures of the disinfectant that is named, by a word, a tag or a device.

    Of anything else nothing is told: glycine, which makes one harmless, is poison in another.
    What is thrown away need not be what is in hand.
    Source: from memory, general chemical safety: chlorine and amines make chloramines.
    """
    mix, word = (situation.vocabulary.word(each) for each in ("mix", slug))
    example = f"{mix} {word} {{}} 2 L" if slug == "waste" else f"{mix} {word} {{}}"
    strange = _strange(situation)
    if strange:
        known = name_to_say(soaked_in(situation)[0])
        return _no_figures(slug, strange, example.format(known))
    held = _held(situation)
    if len(held) == 1:
        return _figures(slug, held[0], asked)
    of = meant(situation, example=example, in_hand=slug != "waste")
    return of if isinstance(of, Text) else _figures(slug, of.chemistry, asked)


def _figures(slug: str, chemistry: Chemistry, asked: Amounts | NotUnderstood) -> Text:
    if slug == "waste":
        return _waste(chemistry, asked)
    return _rinses(chemistry) if slug == "water" else _warming(chemistry)


# -- of what ------------------------------------------------------------------------------------


def _held(situation: Situation) -> list[Chemistry]:
    """The disinfectants in the containers that are named, each once."""
    found = [_disinfectant(situation, each) for each in tags_named(situation)]
    return [*{each.name: each for each in found if each is not None}.values()]


def _disinfectant(situation: Situation, named: Container | StripBottle | str) -> Chemistry | None:
    """What a container holds; bleach or powder, as bought or mixed, is no disinfectant here."""
    if not isinstance(named, Container):
        return None
    held = product_here(situation, named.product)
    if not isinstance(held, Chemistry) or (named.kind is Kind.JUG and held.is_single_use):
        return None
    return held


def _strange(situation: Situation) -> str | Text:
    """What is named and is none of the disinfectants here: in a container, or by a word."""
    tags = tags_named(situation)
    for each in tags:
        if _disinfectant(situation, each) is None:
            return what_is_in(situation, each) if isinstance(each, Container) else _tag(each)
    words = of_what(typed(situation).after(1))
    known = {*_BESIDE, *map(fold, situation.clinic.devices), *map(fold, map(_tag, tags))}
    known |= {fold(situation.vocabulary.word(each)) for each in ABOUT_ONE}
    for protocol in soaked_in(situation):
        known |= {*words_naming(protocol, words)}
    return next((each[:_A_NAME] for each in words if each not in known), "")


def _tag(named: Container | StripBottle | str) -> str:
    return named if isinstance(named, str) else named.tag


def _no_figures(slug: str, strange: str | Text, example: str) -> Text:
    if slug == "waste":
        return say(
            "mix.waste.unknown",
            "I know no way to make {product} harmless. Add nothing to it: its label and local "
            "rules say how it goes. Of what I know: {example}.",
            product=strange,
            example=example,
        )
    return say(
        "mix.no_figures",
        "I have no figures for {product}: its label has them. For what probes here soak in: "
        "{example}.",
        product=strange,
        example=example,
    )


# -- the figures --------------------------------------------------------------------------------


def _rinses(chemistry: Chemistry) -> Text:
    """The final rinses of one device, by the disinfectant's own figures."""
    whole = rinse_water(chemistry)
    return say(
        "mix.water",
        "{product}: {count} rinses of {litres} L, fresh each, {span} each: {amount} L and {lasts} "
        "for one probe. Water: {rinse_water}.",
        product=chemistry.title,
        count=chemistry.rinse_count,
        litres=chemistry.rinse_volume_l,
        span=chemistry.rinse_each_for,
        amount=whole.litres,
        lasts=whole.lasts,
        rinse_water=chemistry.rinse_water,
    )


def _warming(chemistry: Chemistry) -> Text:
    """S17: warm first, then the clock.

    Source: from memory, product instructions: it is in range before the soak begins, and a longer
    soak rescues nothing; how it is warmed: common practice, none published.
    """
    if chemistry.maximum_temperature_c is not None:
        return say(
            "mix.cold.most",
            "{product}: {least} to {most} C. Lid on, stand it in a bowl of warm water, swirl, "
            "measure again. Never a microwave, stove or flame; no hot water into it.",
            product=chemistry.title,
            least=chemistry.minimum_temperature_c,
            most=chemistry.maximum_temperature_c,
        )
    return say(
        "mix.cold",
        "{product}: {least} C at least. Lid on, stand it in a bowl of warm water, swirl, measure "
        "again. Never a microwave, stove or flame; no hot water into it.",
        product=chemistry.title,
        least=chemistry.minimum_temperature_c,
    )


def _waste(chemistry: Chemistry, asked: Amounts | NotUnderstood) -> Text:
    """What makes spent solution harmless, or how it is poured away where nothing is asked."""
    each = chemistry.neutraliser_g_per_l
    if each is None:
        return say(
            "mix.waste.none",
            "{product}: {disposal}",
            product=chemistry.title,
            disposal=chemistry.disposal,
        )
    if isinstance(asked, NotUnderstood):
        return _how_much(chemistry, asked)
    if not _is_of_its_name(asked, chemistry):
        return _how_much(chemistry, NotUnderstood("ambiguous"))
    grams = neutraliser_g(asked.volume_ml, each)
    return say(
        "mix.waste",
        "{volume} of {product}: stir in {amount} g {neutraliser}, wait {span}, then drain with "
        "much water. Gloves, goggles, air. Local rules first.",
        volume=volume(asked.volume_ml),
        product=chemistry.title,
        amount=shown(Fraction(grams)) if isinstance(grams, int) else "?",
        neutraliser=chemistry.neutraliser or "",
        span=chemistry.neutralise_for or timedelta(0),
    )


def _how_much(chemistry: Chemistry, why: NotUnderstood) -> Text:
    """The limits: `flows.replies.amounts.PLAUSIBLE_ML`."""
    if why.hint == "empty" or why.value in _own(chemistry):
        return say(
            "mix.waste.how_much",
            "How much {product} is to go, from 50 ML to 50 L? {mix} {waste} 2 L says what makes "
            "it harmless first.",
            product=chemistry.title,
        )
    if why.hint == "impossible":
        return say(
            "mix.waste.volume",
            "That much {product} is not made harmless at once: from 50 ML to 50 L, please. If "
            "there is more, in parts: {mix} {waste} 50 L.",
            product=chemistry.title,
        )
    return say(
        "mix.waste.unclear",
        "I am not sure how much {product} is to go. Please send one number with L or ML and no "
        "other number, like {mix} {waste} 1.5 L.",
        product=chemistry.title,
    )


def _is_of_its_name(asked: Amounts, chemistry: Chemistry) -> bool:
    """Whether every strength is the product's own; another may be that of another product."""
    return all(each.value in _own(chemistry) for each in asked.strengths)


def _own(chemistry: Chemistry) -> list[Decimal | NotUnderstood]:
    """The figures in its name: 0.55, of "OPA 0.55 %"."""
    return [each.value for each in figures(fold(chemistry.title).split())]

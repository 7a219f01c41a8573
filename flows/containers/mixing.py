"""MIX: how much of what into how much water, and the words for the label."""

from decimal import Decimal
from fractions import Fraction

from flows.calculations.calendar import end_of_day
from flows.calculations.detergent import OWN_MEASURE as MEASURE
from flows.calculations.dilution import LITRE_ML, AddedToALitre, added_to, made_of
from flows.calculations.measuring import whole_ml
from flows.calculations.strength import Impossible
from flows.containers.contents import contents
from flows.containers.mixed import DETERGENT, Batchwise, mixing
from flows.containers.mixing_chlorine import MEASURE as CHLORINE_MEASURE
from flows.containers.mixing_chlorine import chlorine, how_strong, none_here
from flows.containers.mixing_from import chlorine_from, is_for_a_sink, makes, no_amount
from flows.containers.mixing_words import (
    asked_back,
    has_chlorine,
    no_volume,
    own_units,
    taken,
    too_little,
)
from flows.containers.water_cold_waste import ABOUT_ONE, told_of
from flows.parts.decision import Decision, lacking, told
from flows.parts.moment import Moment
from flows.parts.product_named import name_to_say
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry, CycleProtocol
from flows.replies import NotUnderstood
from flows.replies.amounts import Amounts, amounts, quantities, unread
from flows.replies.made_from import MadeFrom, made_from
from flows.replies.typed import fold
from flows.rules.amount_words import dose, ml_or_grams, shown, volume
from flows.rules.good_to import good_to_on_label

CHLORINE_IS_CALLED = ("chlorine", "bleach", "powder")
A_BATH_ML = Decimal(2000)
"""What an example asks for."""
ASKS_WHAT_IT_MAKES = frozenset({"MAKE", "MAKES", "YIELD", "YIELDS"})
ASKS_HOW_MUCH = frozenset({"HOW", "MUCH"})
"""As every text of MIX does."""
DETERGENT_IS_CALLED = frozenset({"SOAP", "CLEANER", "ENZYMATIC", "ENZYME"})


def mix_command(situation: Situation, moment: Moment) -> Decision:
    """MIX 2 L: detergent; MIX 0.1 5 L: chlorine; MIX WATER: rinses; COLD: warming; WASTE.

    The answer is a sum; that it was mixed is another text, MIXED, and then it is on the record.
    What is mixed inside a cycle is stated there, at the cycle's own step.
    """
    words = typed(situation).words[1:]
    asked = amounts(typed(situation).after(1))
    at_hand = _at_hand(situation)
    for slug in ABOUT_ONE:
        if _said(situation, slug, words):
            return told(told_of(situation, slug, asked))
    other = _something_else(situation, at_hand or asked) or _doubted(situation, at_hand or asked)
    if other:
        return told(other)
    if isinstance(at_hand, MadeFrom):
        return _made_from(situation, at_hand, moment)
    if not ASKS_WHAT_IT_MAKES.isdisjoint(words) or _is_doubtful(at_hand):
        return told(makes(situation))
    if isinstance(asked, NotUnderstood):
        is_bare = not words
        return (lacking if is_bare else told)(_not_clear(situation, asked))
    return _recipe(situation, asked, moment)


def _at_hand(situation: Situation) -> MadeFrom | NotUnderstood | None:
    """What stands behind FROM; what counts detergent counts no chlorine, nor the other way."""
    said, word = typed(situation).after(1), fold(situation.vocabulary.word("from"))
    of_detergent = made_from(said, word, own_units(situation, MEASURE))
    of_chlorine = made_from(said, word, own_units(situation, CHLORINE_MEASURE))
    if isinstance(of_detergent, MadeFrom) and _is_for_chlorine(situation, of_detergent):
        return of_chlorine
    if isinstance(of_chlorine, MadeFrom) and _is_for_chlorine(situation, of_chlorine):
        return of_chlorine
    return of_detergent


def _is_for_chlorine(situation: Situation, asked: MadeFrom) -> bool:
    return _has_a_strength(asked) or _is_of_chlorine(situation)


def _is_doubtful(at_hand: NotUnderstood | None) -> bool:
    """Two amounts that are at hand, or one that cannot be; any other doubt is of the text."""
    return at_hand is not None and at_hand.hint in {"ambiguous", "impossible"}


def _made_from(situation: Situation, asked: MadeFrom, moment: Moment) -> Decision:
    """As `_recipe`: what an amount that is there makes."""
    if _is_for_chlorine(situation, asked):
        return chlorine_from(situation, asked, moment)
    return _detergent_from(situation, asked, moment)


def _not_clear(situation: Situation, asked: NotUnderstood) -> Text:
    words = typed(situation).words[1:]
    if not words and _is_asked_whether_mixed(situation):
        return _mixed_or_how_much()
    if asked.hint == "empty" and _is_of_chlorine(situation):
        return how_strong(situation, A_BATH_ML)
    if _has_strengths_only(situation):
        return no_volume() if has_chlorine(situation) else none_here()
    return asked_back(asked, situation)


def _has_strengths_only(situation: Situation) -> bool:
    read = quantities(typed(situation).after(1))
    if isinstance(read, NotUnderstood):
        return False
    return bool(read.strengths) and not (read.volumes_ml or read.grams)


def _recipe(situation: Situation, asked: Amounts, moment: Moment) -> Decision:
    """Chlorine where a strength is asked for, and by its name only with one; else detergent."""
    if asked.strengths:
        return chlorine(situation, asked, moment)
    if _is_of_chlorine(situation):
        return told(how_strong(situation, asked.volume_ml))
    return _detergent(situation, asked, moment)


def _is_of_chlorine(situation: Situation) -> bool:
    words = typed(situation).words[1:]
    return any(_said(situation, each, words) for each in CHLORINE_IS_CALLED)


def _said(situation: Situation, slug: str, words: tuple[str, ...]) -> bool:
    return fold(situation.vocabulary.word(slug)) in words


def _is_asked_whether_mixed(situation: Situation) -> bool:
    """S10: a cycle on this phone waits for MIXED, and MIX by itself may be that, cut short."""
    return any(
        (each.phone, each.top.flow, each.top.step) == (situation.phone.id, "cycle", "mix")
        for each in situation.clinic.threads.values()
    )


def _mixed_or_how_much() -> Text:
    return say(
        "mix.or_mixed",
        "Mixed and labelled? Then reply {mixed}. To ask for an amount: {mix} 2 L.",
    )


# -- what is not mixed --------------------------------------------------------------------------


def _something_else(
    situation: Situation, asked: Amounts | MadeFrom | NotUnderstood
) -> Text | None:
    """A disinfectant that comes ready is never diluted; what nobody knows has no recipe."""
    words = unread(typed(situation).after(1))
    models = dict.fromkeys(each.model for each in situation.clinic.devices.values())
    for protocol in map(situation.today, models):
        ready = not protocol.chemistry.is_single_use
        if ready and not _called(protocol.chemistry).isdisjoint(words):
            return _comes_ready(protocol)
    known = {*map(fold, situation.clinic.devices), *_detergent_is_called(situation)}
    known |= ASKS_WHAT_IT_MAKES | ASKS_HOW_MUCH
    for key in (MEASURE, CHLORINE_MEASURE):
        known |= {*own_units(situation, key)}
    known |= {fold(situation.vocabulary.word(each)) for each in CHLORINE_IS_CALLED}
    strange = [word for word in words if word not in known]
    is_read = not isinstance(asked, NotUnderstood)
    return _unknown(situation, strange[0]) if strange and is_read else None


def _doubted(situation: Situation, asked: Amounts | MadeFrom | NotUnderstood) -> Text | None:
    """The detergent's ratio is its maker's: a strength beside it is a slip, or of chlorine."""
    of_detergent = not _detergent_is_called(situation).isdisjoint(typed(situation).words[1:])
    if of_detergent and _has_a_strength(asked):
        return asked_back(NotUnderstood("ambiguous"), situation)
    return None


def _has_a_strength(asked: Amounts | MadeFrom | NotUnderstood) -> bool:
    if isinstance(asked, MadeFrom):
        return bool(asked.wanted or asked.of)
    return isinstance(asked, Amounts) and bool(asked.strengths)


def _detergent_is_called(situation: Situation) -> set[str]:
    return {*DETERGENT_IS_CALLED, *fold(situation.todays.detergent.title).split()}


def _called(chemistry: Chemistry) -> set[str]:
    """OPA, of "OPA 0.55 %"."""
    return {word for word in fold(chemistry.title).split() if word.isalpha()}


def _comes_ready(protocol: CycleProtocol) -> Text:
    return say(
        "mix.comes_ready",
        "{product} is not mixed: never add water to it, it would be too weak. To fill with it: "
        "{pour}. To throw it away: {mix} {waste} {word}. Detergent: {mix} 2 L.",
        product=protocol.chemistry.title,
        word=name_to_say(protocol)[:9],
    )


def _unknown(situation: Situation, word: str) -> Text:
    if not has_chlorine(situation):
        return say(
            "mix.unknown.no_chlorine",
            "I have no recipe for {word}. {mix} 2 L is for detergent. A disinfectant that comes "
            "ready is never mixed with water: {pour}.",
            word=word[:9],
        )
    return say(
        "mix.unknown",
        "I have no recipe for {word}. {mix} 2 L is for detergent, {mix} 0.1% 2 L for chlorine. A "
        "disinfectant that comes ready is never mixed with water: {pour}.",
        word=word[:9],
    )


# -- detergent ----------------------------------------------------------------------------------


def _detergent(situation: Situation, asked: Amounts, moment: Moment) -> Decision:
    """By the maker's ratio, which is to a litre of water: the volume asked is the water's."""
    detergent = situation.todays.detergent
    mix = added_to(asked.volume_ml, AddedToALitre(Fraction(detergent.ml_per_litre)))
    amount = (
        mix
        if isinstance(mix, Impossible)
        else taken(situation, MEASURE, mix.source_ml, "ml", mix.water_ml)
    )
    if isinstance(amount, Impossible):
        return told(too_little())
    ratio = _ratio(amount.amount, asked.volume_ml)
    recipe = say(
        "mix.detergent",
        "{dose} {product} into {volume} water of {least}-{most} C: {ratio} mL added to a litre. "
        "One batch for one probe.",
        dose=dose(amount),
        product=detergent.title,
        volume=volume(asked.volume_ml),
        least=detergent.water_minimum_c,
        most=detergent.water_maximum_c,
        ratio=ratio,
    )
    return _batch(situation, recipe, ratio, asked.volume_ml, moment)


def _detergent_from(situation: Situation, asked: MadeFrom, moment: Moment) -> Decision:
    """The other way: how much water that much concentrate is for."""
    detergent = situation.todays.detergent
    mix = made_of(asked.amount, AddedToALitre(Fraction(detergent.ml_per_litre)))
    if isinstance(mix, Impossible) or asked.unit != "ml":
        return told(makes(situation))
    water_ml = whole_ml(mix.water_ml)
    if not is_for_a_sink(water_ml):
        return told(no_amount())
    ratio = _ratio(Fraction(asked.amount), water_ml)
    recipe = say(
        "mix.from.detergent",
        "{at_hand} {product} is for {volume} water of {least}-{most} C: {ratio} mL added to a "
        "litre. One batch for one probe.",
        at_hand=ml_or_grams(Fraction(asked.amount), asked.unit),
        product=detergent.title,
        volume=volume(water_ml),
        least=detergent.water_minimum_c,
        most=detergent.water_maximum_c,
        ratio=ratio,
    )
    return _batch(situation, recipe, ratio, water_ml, moment)


def _ratio(amount_ml: Fraction, water_ml: Decimal) -> Decimal:
    return shown(amount_ml * LITRE_ML / Fraction(water_ml), places=1)


def _batch(
    situation: Situation, recipe: Text, ratio: Decimal, water_ml: Decimal, moment: Moment
) -> Decision:
    detergent = situation.todays.detergent
    ends = end_of_day(situation.local_day(moment.now), situation.zone)
    label = say(
        "mix.detergent.label",
        "Write on it: {contents} {ratio} mL/L, mixed {time}, good to {good_to}, one "
        "probe only. Name and today's date too.",
        contents=contents(detergent.title, water_ml),
        ratio=ratio,
        time=moment.now,
        good_to=good_to_on_label(ends, situation.zone),
    )
    batch = Batchwise(DETERGENT, detergent.name, f"{ratio} mL/L", water_ml, detergent.title)
    return mixing(situation, recipe, label, batch)

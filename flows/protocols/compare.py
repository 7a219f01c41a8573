"""Laxer than the published number? Then a written reason is due."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from difflib import get_close_matches
from enum import Enum
from typing import Any, TypeVar

from flows.protocols.check import (
    Figure,
    contradictions,
    read_key,
    read_value,
    too_short_by_hand,
)
from flows.protocols.fields import STRIP_POLICIES, standing
from flows.protocols.led import not_led
from flows.protocols.model import (
    NO_STRIP_THERE_IS,
    Chemistry,
    CycleProtocol,
    Problem,
    Product,
    Selection,
    Shelf,
    SiteChoice,
    StripProduct,
)
from flows.protocols.reasons import says_too_little

P = TypeVar("P", bound=Product)
Rows = Sequence[tuple[Decimal, timedelta]]


class Laxer(Enum):
    """Which way is laxer, and what to do instead of giving a reason."""

    LESS = "raise it"
    MORE = "lower it"
    EITHER = "keep it"
    """Both ways are wrong: a stronger detergent as much as a weaker one."""


LAXER: Mapping[str, Laxer] = {
    # disinfectant
    "contact_time": Laxer.LESS,
    "contact_time_warmer": Laxer.LESS,
    "bell_margin": Laxer.LESS,
    "minimum_temperature_c": Laxer.LESS,
    "maximum_temperature_c": Laxer.MORE,
    "recheck_within_c": Laxer.LESS,
    "maximum_soak": Laxer.MORE,
    "activated_life_days": Laxer.MORE,
    "jug_open_life_days": Laxer.MORE,
    "reuse_life_days": Laxer.MORE,
    "bath_life": Laxer.MORE,
    "bath_uses_max": Laxer.MORE,
    "jug_store_minimum_c": Laxer.LESS,
    "wipe_wet_time": Laxer.LESS,
    "rinse_count": Laxer.LESS,
    "rinse_volume_l": Laxer.LESS,
    "rinse_each_for": Laxer.LESS,
    "rinse_water": Laxer.EITHER,
    "strip_policy": Laxer.MORE,
    "neutraliser_g_per_l": Laxer.LESS,
    "neutralise_for": Laxer.LESS,
    # strip
    "dip_for": Laxer.EITHER,
    "read_after": Laxer.EITHER,
    "read_within": Laxer.MORE,
    "strips_per_test": Laxer.LESS,
    "open_life_days": Laxer.MORE,
    "qc_positive": Laxer.LESS,
    "qc_negative": Laxer.LESS,
    # device and cover
    "unplug_needed": Laxer.LESS,
    "bath_volume_ml": Laxer.LESS,
    "hang_time": Laxer.MORE,
    # detergent
    "ml_per_litre": Laxer.EITHER,
    "soak_for": Laxer.LESS,
    "soak_volume_ml": Laxer.LESS,
    "water_minimum_c": Laxer.LESS,
    "water_maximum_c": Laxer.MORE,
    "one_batch_per_device": Laxer.LESS,
}
"""Every figure a site may set for itself. What is not here (which strip fits, what a pass looks
like, where the immersion line is) is a fact of the product."""

POURED_AWAY = frozenset({"neutraliser_g_per_l", "neutralise_for"})
"""What a spent bath owes the drain: no cycle rests on it, so none falls with such a figure."""

FACTS = frozenset(
    {
        "activation_needed",
        "chemistries",
        "fail_colour",
        "handling",
        "immersion_line",
        "mec",
        "mixed_to_percent",
        "pass_colour",
        "single_use_evidence",
        "soaks",
        "strips",
        "strips_each_test",
    }
)
"""What is not for a site to choose, and would change the worth of a step already done."""


def is_laxer(key: str, value: Any, published: Any) -> bool:
    """Whether *value* asks less of people or product than *published* does."""
    if key == "contact_time_warmer":
        return _is_shorter_somewhere(value, published)
    if LAXER[key] is Laxer.EITHER:
        return bool(value != published)
    if LAXER[key] is Laxer.LESS:
        return _rank(key, value) < _rank(key, published)
    return _rank(key, value) > _rank(key, published)


def protocol_for(
    selection: Selection, site_choices: Iterable[SiteChoice], shelf: Shelf
) -> CycleProtocol | list[Problem]:
    """The selected products with the site's choices laid over them, or all that is against it.

    A choice that is laxer than published loads only with a written reason, and is then listed as
    a deviation. A later choice takes the place of an earlier one of the same figure.
    """
    choices = tuple({(each.product, each.key): each for each in site_choices}.values())
    problems = [
        *_missing(selection, shelf),
        *_against_use(selection, shelf),
        *_refusals(choices, shelf),
    ]
    if problems:
        return problems
    chosen = _bundle(selection, shelf, choices)
    return list(_mismatches(chosen)) or chosen


def check_choices(
    mapping: Mapping[str, Any], file: str, shelf: Shelf
) -> tuple[SiteChoice, ...] | list[Problem]:
    """A site's own file, named as the product on the *shelf*, with the figures it sets itself."""
    product = shelf.product(file.removesuffix(".toml"))
    if product is None:
        return [Problem(file, "name", "is not that of a product known here")]
    read = {key: read_key(product.table, mapping, key, file) for key in mapping}
    choices = tuple(
        SiteChoice(
            product.name, key, product.table[key].kind.shows(each.value), each.reason, each.source
        )
        for key, each in read.items()
        if isinstance(each, Figure)
    )
    problems = [each for each in read.values() if isinstance(each, Problem)]
    problems += (each for choice in choices for each in refusal_as_typed(product, choice))
    return problems or list(contradictions(_with_choices(product, choices), file)) or choices


def owed_reasons(product: Product, mapping: Mapping[str, Any], shelf: Shelf) -> Iterator[Problem]:
    """Where a whole file asks less than the *shelf*'s product of its name, unexplained."""
    known = shelf.product(product.name)
    if known is None or type(known) is not type(product):
        return
    for key in product.table:
        if key in LAXER:
            value = product.table[key].kind.shows(getattr(product, key))
            reason = str(mapping.get(key, {}).get("reason", ""))
            yield from refusal_as_typed(known, SiteChoice(product.name, key, value, reason))


def other_facts(product: Product, known: Product) -> Iterator[str]:
    """The facts in which *product* is not the one that is *known* by its name."""
    for key in product.table:
        if key in {*FACTS, "neutraliser"} and getattr(product, key) != getattr(known, key):
            shows = product.table[key].kind.shows
            own, other = (shows(getattr(each, key)) or "none" for each in (product, known))
            yield f"{key} is {own}, in the shipped {known.name} it is {other}"


def _is_shorter_somewhere(value: Rows | None, published: Rows | None) -> bool:
    """Without a row the contact time itself holds, and that is longer than any."""
    warmths = {warmth for warmth, _ in (*(value or ()), *(published or ()))}
    return any(_row_at(value, warmth) < _row_at(published, warmth) for warmth in warmths)


def _row_at(rows: Rows | None, celsius: Decimal) -> timedelta:
    reached = [span for warmth, span in rows or () if warmth <= celsius]
    return min(reached, default=timedelta.max)


def _rank(key: str, value: Any) -> tuple[int, Any]:
    if value is None:  # no limit; but no hang time of its own means closing, the same day
        return (-1 if key in {"hang_time", *POURED_AWAY} else 1, 0)
    return (0, STRIP_POLICIES.index(value) if key == "strip_policy" else value)


def _missing(selection: Selection, shelf: Shelf) -> Iterator[Problem]:
    chemistry = shelf.chemistries.get(selection.chemistry)
    strips = shelf.strips if chemistry is None or chemistry.strips else {selection.strip: None}
    for key, name, known in (
        ("chemistry", selection.chemistry, shelf.chemistries),
        ("strip", selection.strip, strips),
        ("device_model", selection.device_model, shelf.devices),
        ("detergent", selection.detergent, shelf.detergents),
    ):
        if name not in known:
            yield Problem("site", key, f"is {name}; known are: {', '.join(sorted(known))}")
    model = shelf.devices.get(selection.device_model)
    for cover in model.covers if model else ():
        if cover not in shelf.covers:
            known_covers = ", ".join(sorted(shelf.covers))
            yield Problem(
                f"{selection.device_model}.toml",
                "covers",
                f"has {cover}; known are: {known_covers}",
            )


def _against_use(selection: Selection, shelf: Shelf) -> Iterator[Problem]:
    """A disinfectant that the device's maker has not allowed, or that no cycle is led with yet."""
    chemistry = shelf.chemistries.get(selection.chemistry)
    model = shelf.devices.get(selection.device_model)
    if chemistry and model and chemistry.name not in model.chemistries:
        yield Problem(
            f"{model.name}.toml",
            "chemistries",
            f"does not name {chemistry.name}; its maker has not allowed it",
        )
    if chemistry:
        yield from not_led(chemistry)


def _refusals(choices: Iterable[SiteChoice], shelf: Shelf) -> Iterator[Problem]:
    for choice in choices:
        product = shelf.product(choice.product)
        if product is None:
            file = f"{choice.product}.toml"
            yield Problem(file, choice.key, "is set, but no such product is known here")
        else:
            yield from _refusal(product, choice)


def refusal_as_typed(product: Product, choice: SiteChoice) -> Iterator[Problem]:
    """What stands against a figure whose reason is in words still, no digest of them."""
    against = list(_refusal(product, choice))
    if choice.key == "contact_time" and not against:
        chosen = _with_choices(product, [choice])
        against += too_short_by_hand(chosen, f"{product.name}.toml")
    yield from against
    too_little = says_too_little(choice.reason)
    if too_little and not against and _is_laxer_choice(product, choice):
        facts, instead = _beside_published(product, choice), LAXER[choice.key].value
        reason = f"is {facts}; its reason, {too_little}, or {instead}"
        yield Problem(f"{product.name}.toml", choice.key, reason)


def _refusal(product: Product, choice: SiteChoice) -> Iterator[Problem]:
    file = f"{product.name}.toml"
    if choice.key not in LAXER or choice.key not in product.table:
        yield Problem(file, choice.key, _not_for_a_site(product, choice.key))
        return
    figure = read_value(product.table[choice.key], choice.value, choice.key, file)
    if isinstance(figure, Problem):
        yield figure
    elif not choice.reason.strip() and _is_laxer_choice(product, choice):
        facts = _beside_published(product, choice)
        yield Problem(file, choice.key, f"is {facts}; add a reason or {LAXER[choice.key].value}")


def _not_for_a_site(product: Product, key: str) -> str:
    near = get_close_matches(key, product.table, n=1)
    if key in {*LAXER, *product.table} or not near:
        return "is not for a site to choose"
    return f"is not a key; {near[0]} is"


def _is_laxer_choice(product: Product, choice: SiteChoice) -> bool:
    value = product.table[choice.key].kind.reads(choice.value)
    return is_laxer(choice.key, value, getattr(product, choice.key))


def _beside_published(product: Product, choice: SiteChoice) -> str:
    published = product.table[choice.key].kind.shows(getattr(product, choice.key))
    known = standing(product.source_of(choice.key))
    return f"{choice.value}, the {known} figure is {published}"


def _bundle(selection: Selection, shelf: Shelf, choices: tuple[SiteChoice, ...]) -> CycleProtocol:
    model = shelf.devices[selection.device_model]
    published = CycleProtocol(
        chemistry=shelf.chemistries[selection.chemistry],
        strip=shelf.strips.get(selection.strip, NO_STRIP_THERE_IS),
        device_model=model,
        detergent=shelf.detergents[selection.detergent],
        covers=tuple(shelf.covers[name] for name in model.covers),
    )
    return replace(
        published,
        chemistry=_with_choices(published.chemistry, choices),
        strip=_with_choices(published.strip, choices),
        device_model=_with_choices(published.device_model, choices),
        detergent=_with_choices(published.detergent, choices),
        covers=tuple(_with_choices(cover, choices) for cover in published.covers),
        deviations=tuple(_deviations(published, choices)),
    )


def _with_choices(product: P, choices: Iterable[SiteChoice]) -> P:
    own = [choice for choice in choices if choice.product == product.name]
    values = {each.key: product.table[each.key].kind.reads(each.value) for each in own}
    return replaced(product, values, {choice.key: choice.source for choice in own})


def _deviations(published: CycleProtocol, choices: Iterable[SiteChoice]) -> Iterator[str]:
    products = {product.name: product for product in published.products()}
    for choice in choices:
        product = products.get(choice.product)
        if product is None:
            continue  # of another device, or another disinfectant, of the same site
        if _is_laxer_choice(product, choice):
            yield f"{product.name}.{choice.key} is {_beside_published(product, choice)}"


def _mismatches(protocol: CycleProtocol) -> Iterator[Problem]:
    model = protocol.device_model
    if not protocol.chemistry.is_single_use:
        yield from _of_another_strip(protocol.chemistry, protocol.strip)
    if protocol.maximum_soak <= protocol.bell_after:
        yield Problem(f"{model.name}.toml", "maximum_soak", "is over before the bell")
    for product in protocol.products():
        yield from contradictions(product, f"{product.name}.toml")


def _of_another_strip(chemistry: Chemistry, strip: StripProduct) -> Iterator[Problem]:
    if strip.name not in chemistry.strips:
        yield Problem(f"{chemistry.name}.toml", "strips", f"does not name {strip.name}")
    if chemistry.name not in strip.chemistries:
        yield Problem(f"{strip.name}.toml", "chemistries", f"does not name {chemistry.name}")


def replaced(product: P, values: Mapping[str, Any], sources: Mapping[str, str]) -> P:
    """The product with other figures, and where each of them is from."""
    merged = {**dict(product.sources), **sources}
    return replace(product, **values, sources=tuple(sorted(merged.items())))

"""A product to read: every figure with its source, what a site changed, what is in dispute."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from flows.protocols.compare import LAXER, Laxer, is_laxer
from flows.protocols.fields import standing
from flows.protocols.led import not_led
from flows.protocols.model import Chemistry, DeviceModel, Product, Shelf

LAID_OUT_APART = {"name", "title", "disputes"}


@dataclass(frozen=True, slots=True)
class Changed:
    """A figure as a site has set it, and the reason in words; None where none was owed."""

    value: str
    reason: str | None


def listing(shelf: Shelf) -> Iterator[str]:
    """Every product, the disinfectants with what they are chosen by."""
    for chemistry in shelf.chemistries.values():
        yield from _key_figures(chemistry, shelf)
    for kind in (shelf.strips, shelf.devices, shelf.detergents, shelf.covers):
        yield ""
        for product in kind.values():
            yield f"{product.name:<18}{product.title}"


def _key_figures(chemistry: Chemistry, shelf: Shelf) -> Iterator[str]:
    shown = _shown(chemistry)
    allowed = [
        model.name for model in shelf.devices.values() if chemistry.name in model.chemistries
    ]
    yield (
        f"{chemistry.name:<18}{chemistry.title}: {shown['contact_time']} at "
        f"{shown['minimum_temperature_c']} or more, MEC {shown['mec']}, "
        f"used for {shown['reuse_life_days']}, {shown['strip_policy']}"
    )
    yield f"{'':<18}allowed on: {', '.join(allowed) or 'no device'}"
    for problem in not_led(chemistry):
        yield f"{'':<18}no cycle yet: {problem}"


def sheet(product: Product, changed: Mapping[str, Changed]) -> Iterator[str]:
    """Each figure, how good its source is, and what the site of *changed* has set instead."""
    yield f"{product.name}: {product.title} ({product.folder})"
    for key, shown in _shown(product).items():
        if key in LAID_OUT_APART:
            continue
        yield f"  {key} = {shown}"
        source = dict(product.sources).get(key)
        if source:
            yield f"      {standing(source)}: {source}"
        if key in changed:
            yield from _changed(changed[key])
    yield from disputed(product)
    if isinstance(product, Chemistry):
        yield from (f"  No cycle yet: {problem}" for problem in not_led(product))
    if isinstance(product, DeviceModel) and "chemistry" in changed:
        yield f"  Soaked at this site in {changed['chemistry'].value}"


def _changed(changed: Changed) -> Iterator[str]:
    because = "no reason owed" if changed.reason is None else f"because: {changed.reason}"
    yield f"      this site: {changed.value}; {because}"


def disputed(product: Product) -> Iterator[str]:
    """The open questions about a disinfectant, for whoever chooses it."""
    for says, source in product.disputes if isinstance(product, Chemistry) else ():
        yield f"  In dispute: {says}"
        yield f"      {source}"


def beside(named: Mapping[str, Product]) -> Iterator[str]:
    """Two products of one kind, as they were *named*, figure by figure; which is the stricter."""
    (one, ours), (other, theirs) = named.items()
    yield f"figure: {one} | {other} | which is stricter"
    for key in ours.table:
        if key not in LAID_OUT_APART:
            verdict = VERDICTS[_stricter(ours, theirs, key)].format(one=one, other=other)
            yield f"{key}: {_shown(ours)[key]} | {_shown(theirs)[key]} | {verdict}"


VERDICTS = {
    "same": "the same",
    "different": "different",
    "both": "each is stricter somewhere",
    "one": "{one} is stricter",
    "other": "{other} is stricter",
}


def _stricter(one: Product, other: Product, key: str) -> str:
    ours, theirs = getattr(one, key), getattr(other, key)
    if ours == theirs:
        return "same"
    if key not in LAXER or LAXER[key] is Laxer.EITHER:
        return "different"
    if not is_laxer(key, ours, theirs):
        return "one"
    return "both" if is_laxer(key, theirs, ours) else "other"


def _shown(product: Product) -> dict[str, Any]:
    figures = {key: getattr(product, key) for key in product.table}
    return {key: product.table[key].kind.shows(each) or "none" for key, each in figures.items()}

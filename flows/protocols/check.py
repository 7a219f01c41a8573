"""A parsed mapping -> a protocol, or every problem at once: file, key, reason.

In a file each figure is a table of its value and its source, and may bear a reason:
`contact_time = { value = "12 min", source = "CDC/HICPAC 2008, Table 4" }`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from difflib import get_close_matches
from typing import Any, TypeVar

from flows.protocols.fields import NO_SOURCE, NO_STRIP, REQUIRED, Field
from flows.protocols.figures import CELSIUS, SPAN, Unfit
from flows.protocols.model import (
    Chemistry,
    Cover,
    Detergent,
    DeviceModel,
    Problem,
    Product,
    StripProduct,
)

P = TypeVar("P", bound=Product)

SHORTEST_BY_HAND = timedelta(minutes=7)
"""No published soak by hand is shorter; shorter figures are for machines that hold the heat.
Source: FDA, Cleared Sterilants and High Level Disinfectants, December 2023, K091210 (7 min)."""

WARMEST_BY_HAND_C = Decimal(30)
"""A warmer bath is a machine's. Source: common practice, none published; by hand 20 C and 25 C
are published, in a machine 35 C (CDC/HICPAC 2008, Table 1) and 50-56 C (Table 4)."""

NEUTRALISING = ("neutraliser", "neutraliser_g_per_l", "neutralise_for")


def check_chemistry(mapping: Mapping[str, Any], file: str) -> Chemistry | list[Problem]:
    """The disinfectant in *mapping*, or all that is wrong with it."""
    return check_product(Chemistry, mapping, file)


def check_strip(mapping: Mapping[str, Any], file: str) -> StripProduct | list[Problem]:
    """The test strip in *mapping*, or all that is wrong with it."""
    return check_product(StripProduct, mapping, file)


def check_device(mapping: Mapping[str, Any], file: str) -> DeviceModel | list[Problem]:
    """The device model in *mapping*, or all that is wrong with it."""
    return check_product(DeviceModel, mapping, file)


def check_detergent(mapping: Mapping[str, Any], file: str) -> Detergent | list[Problem]:
    """The detergent in *mapping*, or all that is wrong with it."""
    return check_product(Detergent, mapping, file)


def check_cover(mapping: Mapping[str, Any], file: str) -> Cover | list[Problem]:
    """The cover in *mapping*, or all that is wrong with it."""
    return check_product(Cover, mapping, file)


def check_product(kind: type[P], mapping: Mapping[str, Any], file: str) -> P | list[Problem]:
    """A product of *kind* from its file's *mapping*, or all that is wrong with it."""
    read = {key: read_key(kind.table, mapping, key, file) for key in {**kind.table, **mapping}}
    problems = [each for each in read.values() if isinstance(each, Problem)]
    if problems:
        return problems
    figures = {key: each for key, each in read.items() if isinstance(each, Figure)}
    product = kind(
        **{key: figure.value for key, figure in figures.items()},
        sources=tuple(sorted((key, each.source) for key, each in figures.items() if each.source)),
    )
    return [*_mistaken(product, file), *contradictions(product, file)] or product


@dataclass(frozen=True, slots=True)
class Figure:
    """What one key of a file says."""

    value: Any
    source: str = ""
    reason: str = ""


def read_key(
    table: Mapping[str, Field], mapping: Mapping[str, Any], key: str, file: str
) -> Figure | Problem:
    """What *mapping* says under *key*, or why it cannot be taken."""
    if key not in table:
        near = get_close_matches(key, table, n=1)
        return Problem(file, key, f"is not a key{f'; {near[0]} is' if near else ' here'}")
    field = table[key]
    if key not in mapping:
        if field.default is REQUIRED:
            return Problem(file, key, f"is missing; add it, for example {field.kind.example}")
        return Figure(field.default, NO_SOURCE)
    written = mapping[key] if field.sourced else {"value": mapping[key]}
    return _read_figure(field, written, key, file)


def read_value(field: Field, written: object, key: str, file: str) -> Figure | Problem:
    """*written* as a value within the field's limits, its source still to come."""
    try:
        value = field.kind.reads(written)
    except Unfit as unfit:
        return Problem(file, key, f"is written {written!r}; {unfit}")
    except ValueError:
        return Problem(file, key, f"is written {_short(written)}; write it like {_like(field)}")
    if value is not None and field.limits and not field.limits[0] <= value <= field.limits[1]:
        shown, least, most = (field.kind.shows(each) for each in (value, *field.limits))
        return Problem(file, key, f"is {shown}; it must be from {least} to {most}")
    return Figure(value)


SHOWN = 60


def _short(written: object) -> str:
    """As it stands in the file, but no whole table of it."""
    said = repr(written)
    return said if len(said) <= SHOWN else f"{said[: SHOWN - 3]}..."


def _like(field: Field) -> str:
    """An example that would be taken: the kind's own, or the least that may be."""
    example, either, none = field.kind.example.partition(" or none")
    value = field.kind.reads(example) if field.limits else None
    if field.limits and not field.limits[0] <= value <= field.limits[1]:
        example = field.kind.shows(field.limits[0])
    return f"{example}{either}{none}"


def contradictions(product: Product, file: str) -> Iterator[Problem]:
    """Where two figures of one product cannot both be right."""
    if isinstance(product, Chemistry):
        yield from _chemistry_contradictions(product, file)
    if isinstance(product, Detergent):
        yield from _detergent_contradictions(product, file)
    if isinstance(product, DeviceModel):
        for key in ("chemistries", "covers"):
            if not getattr(product, key):
                yield Problem(file, key, "names none; no cycle can be led, name at least one")


def _chemistry_contradictions(chemistry: Chemistry, file: str) -> Iterator[Problem]:
    if chemistry.maximum_soak <= chemistry.contact_time + chemistry.bell_margin:
        yield Problem(file, "maximum_soak", "is over before the bell; raise it")
    warmest = chemistry.maximum_temperature_c
    if warmest is not None and warmest <= chemistry.minimum_temperature_c:
        yield Problem(file, "maximum_temperature_c", "is not above the minimum; raise it")
    if chemistry.activation_needed != (chemistry.activated_life_days is not None):
        yield Problem(
            file, "activated_life_days", "and activation_needed disagree; give both or neither"
        )
    yield from _table_contradictions(chemistry, file)
    yield from _no_strip_contradictions(chemistry, file)
    yield from _neutraliser_contradictions(chemistry, file)


def _table_contradictions(chemistry: Chemistry, file: str) -> Iterator[Problem]:
    """Each row warmer and shorter than the one before, and none that only a machine can hold."""
    before, longest = chemistry.minimum_temperature_c, chemistry.contact_time
    for celsius, span in chemistry.contact_time_warmer or ():
        here = f"gives {SPAN.shows(span)} from {CELSIUS.shows(celsius)}"
        if celsius <= before:
            reason = f"{here}, after {CELSIUS.shows(before)}; each must be warmer than the last"
            yield Problem(file, "contact_time_warmer", reason)
        if span >= longest:
            reason = f"{here}, after {SPAN.shows(longest)}; each must be shorter than the last"
            yield Problem(file, "contact_time_warmer", reason)
        if celsius > WARMEST_BY_HAND_C or span < SHORTEST_BY_HAND:
            yield Problem(file, "contact_time_warmer", f"{here}; machines' figures are not taken")
        before, longest = celsius, span


def _no_strip_contradictions(chemistry: Chemistry, file: str) -> Iterator[Problem]:
    """S4: without a strip a bath is for one soak and has other evidence; with one, neither."""
    without = chemistry.strip_policy == NO_STRIP
    if without and chemistry.strips:
        yield Problem(file, "strip_policy", f"is {NO_STRIP}, yet a strip is named; use the strip")
    if without and chemistry.bath_uses_max != 1:
        yield Problem(file, "bath_uses_max", f"must be 1 where strip_policy is {NO_STRIP}")
    if without != bool(chemistry.single_use_evidence):
        yield Problem(
            file, "single_use_evidence", f"goes with strip_policy {NO_STRIP}; give both or neither"
        )


def _neutraliser_contradictions(chemistry: Chemistry, file: str) -> Iterator[Problem]:
    """What to stir in, how much, how long: one without the others cannot be followed."""
    figures = {key: getattr(chemistry, key) for key in NEUTRALISING}
    missing = [key for key, figure in figures.items() if figure is None]
    if len(missing) < len(figures):
        together = f"{', '.join(NEUTRALISING[:-1])} and {NEUTRALISING[-1]} go together"
        for key in missing:
            yield Problem(file, key, f"is none; {together}, give all three or none")


def _detergent_contradictions(detergent: Detergent, file: str) -> Iterator[Problem]:
    if detergent.maximum_soak <= detergent.soak_for:
        yield Problem(file, "maximum_soak", "is not longer than soak_for; raise it")
    if detergent.water_maximum_c <= detergent.water_minimum_c:
        yield Problem(file, "water_maximum_c", "is not above water_minimum_c; raise it")


def too_short_by_hand(product: Product, file: str) -> Iterator[Problem]:
    """S2: a soak that only a machine may do; no written reason makes it one by hand."""
    if isinstance(product, Chemistry) and product.contact_time < SHORTEST_BY_HAND:
        reason = (
            "is shorter than any published soak by hand, 7 min; machines' figures are not taken"
        )
        yield Problem(file, "contact_time", reason)


def _mistaken(product: Product, file: str) -> Iterator[Problem]:
    """What would be taken for something else: a file for another's, a fail for a pass."""
    if file != f"{product.name}.toml":
        yield Problem(file, "name", f"is {product.name}; a file bears its product's name")
    if isinstance(product, StripProduct) and product.pass_colour == product.fail_colour:
        yield Problem(file, "fail_colour", "is that of a pass too; nobody could tell them apart")
    yield from too_short_by_hand(product, file)


def _read_figure(field: Field, written: object, key: str, file: str) -> Figure | Problem:
    if not isinstance(written, Mapping) or "value" not in written:
        return Problem(file, key, 'needs both: { value = ..., source = "..." }')
    unknown = set(written) - {"value", "source", "reason"}
    if unknown:
        return Problem(file, key, f"has {', '.join(sorted(unknown))} beside its value and source")
    figure = read_value(field, written["value"], key, file)
    if isinstance(figure, Problem):
        return figure
    source, reason = written.get("source", ""), written.get("reason", "")
    if field.sourced and not (isinstance(source, str) and source.strip()):
        return Problem(
            file, key, f'has no source; name the publication, "from memory" or "{NO_SOURCE}"'
        )
    return Figure(figure.value, source, str(reason))

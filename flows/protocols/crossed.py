"""Whether the files of a shelf know each other: every product that one names has its own file."""

from collections.abc import Collection, Iterator

from flows.protocols.fields import SOAKS
from flows.protocols.model import Chemistry, DeviceModel, Problem, Product, Shelf


def crossed(shelf: Shelf, unread: Collection[str] = ()) -> Iterator[Problem]:
    """Where one file of *shelf* says what another does not bear out.

    Products whose own file is there and could not be *unread* are missed by nobody.
    """
    for chemistry in shelf.chemistries.values():
        yield from _without_file(chemistry, "strips", {*shelf.strips, *unread})
        yield from _strips(chemistry, shelf)
    for strip in shelf.strips.values():
        yield from _without_file(strip, "chemistries", {*shelf.chemistries, *unread})
    for model in shelf.devices.values():
        yield from _without_file(model, "chemistries", {*shelf.chemistries, *unread})
        yield from _without_file(model, "covers", {*shelf.covers, *unread})
        for name in model.chemistries:
            named = shelf.chemistries.get(name)
            if named and named.soaks != SOAKS[0]:
                reason = f"names {name}, which is for a {named.soaks}; take it out"
                yield Problem(f"{model.name}.toml", "chemistries", reason)
        yield from _too_short_a_stay(model, shelf)


def _too_short_a_stay(model: DeviceModel, shelf: Shelf) -> Iterator[Problem]:
    """S12: what its maker allows must be long enough for each disinfectant that it names."""
    for name in model.chemistries:
        named = shelf.chemistries.get(name)
        bell = named.contact_time + named.bell_margin if named else None
        if model.maximum_soak and bell and model.maximum_soak <= bell:
            reason = f"is over before the bell of {name}"
            yield Problem(f"{model.name}.toml", "maximum_soak", reason)


def _without_file(product: Product, key: str, known: Collection[str]) -> Iterator[Problem]:
    for name in getattr(product, key):
        if name not in known:
            yield Problem(f"{product.name}.toml", key, f"names {name}; there is no such file")


def _strips(chemistry: Chemistry, shelf: Shelf) -> Iterator[Problem]:
    """S4: a strip is for the products that it names, and is as many as the product asks for."""
    for strip in (shelf.strips[name] for name in chemistry.strips if name in shelf.strips):
        if chemistry.name not in strip.chemistries:
            reason = f"does not name {chemistry.name}, which names it; make them agree"
            yield Problem(f"{strip.name}.toml", "chemistries", reason)
        if strip.strips_per_test < chemistry.strips_each_test:
            reason = (
                f"is {strip.strips_per_test}; {chemistry.name} asks for "
                f"{chemistry.strips_each_test} each test"
            )
            yield Problem(f"{strip.name}.toml", "strips_per_test", reason)

"""One TOML file -> what is in it, of which kind it is, and what stands against it on a shelf."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from importlib.resources.abc import Traversable
from typing import Any

from flows.protocols.check import check_product
from flows.protocols.compare import check_choices, owed_reasons
from flows.protocols.crossed import crossed
from flows.protocols.model import (
    Chemistry,
    Cover,
    Detergent,
    DeviceModel,
    Problem,
    Product,
    Shelf,
    StripProduct,
)

KINDS: tuple[type[Product], ...] = (Chemistry, StripProduct, DeviceModel, Detergent, Cover)


def parsed(file: Traversable) -> Mapping[str, Any] | Problem:
    """The keys of *file*, or why it cannot be read."""
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except ValueError as error:  # not TOML, or not UTF-8
        return Problem(file.name, "line", f"cannot be read as TOML: {error}")


def kind_of(mapping: Mapping[str, Any], room: str = "") -> type[Product]:
    """The kind that belongs in *room*; elsewhere the one that shares most keys with *mapping*."""
    in_room = [kind for kind in KINDS if kind.folder == room]
    return in_room[0] if in_room else max(KINDS, key=lambda kind: len(kind.table & mapping.keys()))


def laid_on(shelf: Shelf, product: Product) -> Shelf:
    """*shelf* with *product* on it, in the place of one of the same name."""
    room: dict[str, Any] = {product.folder: {**getattr(shelf, product.folder)}}
    room[product.folder][product.name] = product
    return replace(shelf, **room)


def check_file(file: Traversable, room: str, shelf: Shelf) -> tuple[Shelf, list[Problem]]:
    """Lay what *file* holds on *shelf*: a product, or a site's own figures of one that is there.

    A file that bears a name is a whole product; a site's own is named after the product alone.
    """
    mapping = parsed(file)
    if isinstance(mapping, Problem):
        return shelf, [mapping]
    if "name" in mapping or not shelf.product(file.name.removesuffix(".toml")):
        product = check_product(kind_of(mapping, room), mapping, file.name)
        if isinstance(product, list):
            return shelf, product
        return laid_on(shelf, product), list(owed_reasons(product, mapping, shelf))
    choices = check_choices(mapping, file.name, shelf)
    return shelf, choices if isinstance(choices, list) else []


def check_files(files: Mapping[Traversable, str], shelf: Shelf) -> list[Problem]:
    """All that is wrong with *files*, each with its room, by themselves and beside *shelf*."""
    problems: list[Problem] = []
    for file, room in files.items():
        shelf, found = check_file(file, room, shelf)
        problems += found
    return problems or list(crossed(shelf))

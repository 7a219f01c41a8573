"""One TOML file -> what is in it, of which kind it is, and what stands against it on a shelf."""

import re
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
        text = file.read_text(encoding="utf-8-sig")  # some editors put a mark of it in front
    except ValueError as error:
        return Problem(file.name, "line", f"cannot be read as UTF-8: {error}")
    try:
        mapping = tomllib.loads(text)
    except ValueError as error:
        return Problem(file.name, _key_at(text, error), f"cannot be read as TOML: {error}")
    return mapping or Problem(file.name, "name", "is missing, as is all else: the file is empty")


def _key_at(text: str, error: ValueError) -> str:
    """The key on the line that *error* names; 'line' where none stands there."""
    at = re.search("line ([0-9]+)", str(error))
    line = text.splitlines()[int(at[1]) - 1] if at else ""
    key = line.partition("=")[0].strip() if "=" in line else ""
    return key if re.fullmatch("[A-Za-z0-9_]{1,40}", key) else "line"


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
    if _is_whole(mapping) or not shelf.product(file.name.removesuffix(".toml")):
        product = check_product(kind_of(mapping, room), mapping, file.name)
        if isinstance(product, list):
            return shelf, product
        return laid_on(shelf, product), list(owed_reasons(product, mapping, shelf))
    choices = check_choices(mapping, file.name, shelf)
    return shelf, choices if isinstance(choices, list) else []


def _is_whole(mapping: Mapping[str, Any]) -> bool:
    """A name or a title is for a product's own file; a site's has figures only."""
    return not mapping.keys().isdisjoint({"name", "title"})


def check_files(files: Mapping[Traversable, str], shelf: Shelf) -> list[Problem]:
    """All that is wrong with *files*, each with its room, by themselves and beside *shelf*."""
    problems: list[Problem] = []
    unread: set[str] = set()
    for file, room in files.items():
        was = shelf
        shelf, found = check_file(file, room, shelf)
        problems += found
        if found and shelf is was:
            unread.add(file.name.removesuffix(".toml"))
    return [*problems, *crossed(shelf, unread)]

"""The shipped protocols by name; where the TOML files are.

To add a product, add its file: `chemistries/`, `strips/`, `devices/`, `detergents/`, `covers/`.
Files are code here: they are read once, and a bad one is found before anything begins.
"""

from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TypeVar

from flows.protocols import compare
from flows.protocols.check import check_product
from flows.protocols.crossed import crossed
from flows.protocols.model import (
    Chemistry,
    Cover,
    CycleProtocol,
    Detergent,
    DeviceModel,
    Problem,
    Product,
    Selection,
    Shelf,
    SiteChoice,
    StripProduct,
)
from flows.protocols.read import parsed

P = TypeVar("P", bound=Product)


class BadProtocols(Exception):
    """Protocol files that do not load; one line a problem."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


@cache
def shipped() -> Shelf:
    """The protocols that come with the program."""
    return shelf_of(files(__name__))


def shelf_of(folder: Traversable) -> Shelf:
    """The protocols in the rooms of *folder*. Raises BadProtocols with every problem in them."""
    problems: list[Problem] = []
    shelf = Shelf(
        chemistries=_read(folder, Chemistry, problems),
        strips=_read(folder, StripProduct, problems),
        devices=_read(folder, DeviceModel, problems),
        detergents=_read(folder, Detergent, problems),
        covers=_read(folder, Cover, problems),
    )
    problems = problems or list(crossed(shelf))
    if problems:
        raise BadProtocols(problems)
    return shelf


def protocol_for(
    selection: Selection, site_choices: Iterable[SiteChoice] = (), shelf: Shelf | None = None
) -> CycleProtocol | list[Problem]:
    """What a cycle with the selected products is held to; from the shipped shelf if none is given.

    A choice that is laxer than published needs a reason; all problems come back together.
    """
    return compare.protocol_for(selection, site_choices, shelf or shipped())


def _read(folder: Traversable, kind: type[P], problems: list[Problem]) -> dict[str, P]:
    read: dict[str, P] = {}
    for file in sorted((folder / kind.folder).iterdir(), key=lambda each: each.name):
        mapping = parsed(file)
        if isinstance(mapping, Problem):
            problems.append(mapping)
            continue
        product = check_product(kind, mapping, file.name)
        if isinstance(product, list):
            problems.extend(product)
        else:
            read[product.name] = product
    return read

"""Today's protocol for a site: the shipped products with the site's choices laid over them."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import lru_cache

from flows.parts.clinic import Choice, Clinic
from flows.protocols import BadProtocols, protocol_for, shipped
from flows.protocols.model import CycleProtocol, Product, Selection, SiteChoice

SITE = "site"
"""A choice about the site's own way of working, and about no product: how strips are timed."""

CHEMISTRY = "chemistry"
"""A choice about a device model, and not a figure: which disinfectant it is soaked in."""

Today = Callable[[str], CycleProtocol]


def today(clinic: Clinic) -> Today:
    """Look a protocol up by device model.

    The look-up raises KeyError for a model that nobody has described, and BadProtocols where the
    site has chosen what is not allowed.
    """
    made = choices_of(clinic)
    return lambda model: _laid_over(model, made)


def choices_of(clinic: Clinic) -> tuple[Choice, ...]:
    """What a site has chosen about products: figures, and which disinfectant for a model."""
    made = clinic.site.choices if clinic.site else ()
    return tuple(each for each in made if each.product != SITE)


def as_chosen(clinic: Clinic, name: str) -> Product:
    """A product with the site's own figures. Raises KeyError where there is none of that name."""
    product = shipped().product(name)
    if product is None:
        raise KeyError(name)
    own = [
        each for each in choices_of(clinic) if each.product == name and each.key in product.table
    ]
    return replace(
        product, **{each.key: product.table[each.key].kind.reads(each.value) for each in own}
    )


def figures_of(choices: Iterable[Choice]) -> tuple[SiteChoice, ...]:
    """The figures among *choices*, to be laid over the published ones."""
    return tuple(
        SiteChoice(each.product, each.key, each.value, each.reason)
        for each in choices
        if each.key != CHEMISTRY
    )


@lru_cache(maxsize=256)
def _laid_over(model: str, choices: tuple[Choice, ...]) -> CycleProtocol:
    protocol = protocol_for(selection_for(model, choices), figures_of(choices))
    if isinstance(protocol, list):
        raise BadProtocols(protocol)
    return protocol


def selection_for(model: str, choices: Iterable[Choice] = ()) -> Selection:
    """The disinfectant that the site has chosen for the model, and the first strip made for it.

    Where it has chosen none: the first that the maker allows. Whether a cycle may be led with it
    is for `protocol_for` to say.
    """
    shelf = shipped()
    name = shelf.devices[model].chemistries[0]
    for each in choices:
        if (each.product, each.key) == (model, CHEMISTRY):
            name = each.value
    chemistry = shelf.chemistries.get(name)
    strip = next(iter(chemistry.strips), "") if chemistry else ""
    return Selection(name, strip, model, next(iter(shelf.detergents)))

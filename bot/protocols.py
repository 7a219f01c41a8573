"""Today's protocol for a site: the shipped products with the site's choices laid over them."""

from collections.abc import Callable
from functools import lru_cache

from flows.parts.clinic import Choice, Clinic
from flows.protocols import BadProtocols, protocol_for, shipped
from flows.protocols.model import CycleProtocol, Selection, SiteChoice

SITE = "site"
"""A choice about the site's own way of working, and about no product: how strips are timed."""

Today = Callable[[str], CycleProtocol]


def today(clinic: Clinic) -> Today:
    """Look a protocol up by device model.

    The look-up raises KeyError for a model that nobody has described, and BadProtocols where the
    site has chosen what is not allowed.
    """
    made = clinic.site.choices if clinic.site else ()
    choices = tuple(each for each in made if each.product != SITE)
    return lambda model: _laid_over(model, choices)


@lru_cache(maxsize=256)
def _laid_over(model: str, choices: tuple[Choice, ...]) -> CycleProtocol:
    laid = [SiteChoice(each.product, each.key, each.value, each.reason) for each in choices]
    protocol = protocol_for(selection_for(model), laid)
    if isinstance(protocol, list):
        raise BadProtocols(protocol)
    return protocol


def selection_for(model: str) -> Selection:
    """The first disinfectant that the device's maker allows, and the first strip made for it."""
    shelf = shipped()
    chemistry = shelf.chemistries[shelf.devices[model].chemistries[0]]
    return Selection(chemistry.name, chemistry.strips[0], model, next(iter(shelf.detergents)))

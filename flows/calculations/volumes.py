"""How much a container holds: as is said of it, as its site has said, or by the device file."""

from decimal import Decimal

from flows.calculations.usage import volume_as_written
from flows.parts.clinic import Kind, Site
from flows.protocols.model import CycleProtocol

SAID_OF = {Kind.JUG: "jug_volume", Kind.BOTTLE: "bottle_volume"}
"""What a site chooses for each: `choose site bottle_volume "500 ml"`."""


def volume_of(
    kind: Kind, site: Site | None, protocol: CycleProtocol, said: Decimal | None = None
) -> Decimal | None:
    """Millilitres that a new jug, a bottle or a bath holds; None where nobody has said so.

    The jug that something is mixed from may be powder: the site's usual one says nothing of it.
    Source: what is *said* of this one, the site's choice, or `bath_volume_ml` of the device file.
    """
    if said is not None:
        return said
    if kind is Kind.BATH:
        return Decimal(protocol.device_model.bath_volume_ml)
    if site is None or protocol.chemistry.is_single_use:
        return None
    millilitres = volume_as_written(site.way(SAID_OF[kind]))
    return Decimal(millilitres) if millilitres else None

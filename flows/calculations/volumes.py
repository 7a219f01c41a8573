"""How much a container holds: as its site has said, or as the device file says of a bath."""

from decimal import Decimal

from flows.calculations.usage import volume_as_written
from flows.parts.clinic import Kind, Site
from flows.protocols.model import CycleProtocol

SAID_OF = {Kind.JUG: "jug_volume", Kind.BOTTLE: "bottle_volume"}
"""What a site chooses for each: `choose site bottle_volume "500 ml"`."""


def volume_of(kind: Kind, site: Site | None, protocol: CycleProtocol) -> Decimal | None:
    """Millilitres that a new jug, a bottle or a bath holds; None where nobody has said so.

    The jug that something is mixed from may be powder: no volume is known of it.
    Source: the site's choice, or `bath_volume_ml` of the device file.
    """
    if kind is Kind.BATH:
        return Decimal(protocol.device_model.bath_volume_ml)
    if site is None or protocol.chemistry.is_single_use:
        return None
    millilitres = volume_as_written(site.way(SAID_OF[kind]))
    return Decimal(millilitres) if millilitres else None

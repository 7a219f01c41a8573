"""S1, S4, S5: what handle and cable may be wiped with."""

from datetime import datetime
from decimal import Decimal

from flows.parts.clinic import Container, Kind
from flows.parts.stock import CHLORINE
from flows.protocols.model import Chemistry
from flows.rules.container_life import is_active, lasts_a_soak
from flows.rules.strip import is_sound

TOO_STRONG = 2
"""So many times as strong as it is for a probe a mixture is for something else.
Source: own rule, none published; a measure rounds up by less."""


def may_wipe(container: Container, chemistry: Chemistry, now: datetime) -> bool:
    """S4, S5: a jug or a working bottle that is sound, active, and in date while it is left wet.

    Never a bath: nothing that touches a towel or a handle goes near what a probe soaks in. Of what
    is mixed here it is what was mixed today, as strong as for a probe, and never its source.
    """
    is_fit = _is_mixed_for_it if chemistry.is_single_use else _is_bottled
    return (
        is_fit(container, chemistry)
        and is_sound(container, now)
        and lasts_a_soak(container.discard_by, chemistry.wipe_wet_time, now)
    )


def _is_bottled(container: Container, chemistry: Chemistry) -> bool:
    is_kind = container.kind in {Kind.JUG, Kind.BOTTLE}
    return is_kind and container.product == chemistry.name and is_active(container, chemistry)


def _is_mixed_for_it(container: Container, chemistry: Chemistry) -> bool:
    if (container.kind, container.product) != (Kind.MIXED, CHLORINE):
        return False
    percent = Decimal(container.strength.removesuffix(" %"))
    least = chemistry.mixed_to_percent or percent
    return least <= percent < least * TOO_STRONG

"""S1, S4, S5: what handle and cable may be wiped with."""

from datetime import datetime

from flows.parts.clinic import Container, Kind
from flows.protocols.model import Chemistry
from flows.rules.container_life import is_active, lasts_a_soak
from flows.rules.strip import is_sound


def may_wipe(container: Container, chemistry: Chemistry, now: datetime) -> bool:
    """S4, S5: a jug or a working bottle that is sound, active, and in date while it is left wet.

    Never a bath: nothing that touches a towel or a handle goes near what a probe soaks in.
    """
    return (
        container.kind in {Kind.JUG, Kind.BOTTLE}
        and container.product == chemistry.name
        and is_sound(container, now)
        and is_active(container, chemistry)
        and lasts_a_soak(container.discard_by, chemistry.wipe_wet_time, now)
    )

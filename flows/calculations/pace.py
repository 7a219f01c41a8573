"""How long each part of a cycle takes, and which parts need hands; for planning, never for a bell.

A bell counts the product's own time. Here the hands are counted too, at a usual pace: a whole
cycle with a soak of 12 minutes takes 20 to 25. Source: common practice, none published.
"""

from dataclasses import dataclass
from datetime import timedelta

from flows.protocols.fields import STRIP_POLICIES
from flows.protocols.model import CycleProtocol

WIPED_MIXED_AND_UNDER = timedelta(minutes=2)
"""Inspect, four wipes of handle and cable, mix, wipe the probe, put it in the detergent; the time
that the disinfectant stays wet comes on top. Source: common practice, none published."""

DETERGENT_MARGIN = timedelta(seconds=15)
"""From the end of the detergent's time to its bell. Source: common practice, none published."""

RINSED_DRIED_AND_IN = timedelta(minutes=2)
"""Three rinses, dry, measure the bath, into it. Source: common practice, none published."""

DRIED_AND_COVERED = timedelta(minutes=1)
"""Clean gloves, out, dry, look, cover; the rinses come on top.
Source: common practice, none published."""

BATH_EACH_USE = STRIP_POLICIES[0]


@dataclass(frozen=True, slots=True)
class Pace:
    """The parts of one cycle, in their order. All but the two soaks keep a person busy."""

    to_detergent: timedelta
    detergent: timedelta
    strip: timedelta
    """In the bath that is meant for this probe, while that is in the detergent (S4)."""
    to_bath: timedelta
    contact: timedelta
    to_cover: timedelta

    @property
    def whole(self) -> timedelta:
        """From the end of an examination to the cover, where nothing has to wait."""
        return (
            self.to_detergent
            + max(self.detergent, self.strip)
            + self.to_bath
            + self.contact
            + self.to_cover
        )

    @property
    def hands(self) -> timedelta:
        """What a person is busy for in it."""
        return self.to_detergent + self.strip + self.to_bath + self.to_cover


def pace_of(protocol: CycleProtocol) -> Pace:
    """The pace of a cycle under *protocol*. Source: its own figures, and the usual ones above."""
    chemistry, detergent = protocol.chemistry, protocol.detergent
    tests_bath = chemistry.strip_policy == BATH_EACH_USE
    strip = protocol.strip.dip_for + protocol.strip.read_after
    return Pace(
        to_detergent=WIPED_MIXED_AND_UNDER + chemistry.wipe_wet_time,
        detergent=detergent.soak_for + DETERGENT_MARGIN,
        strip=strip if tests_bath else timedelta(0),
        to_bath=RINSED_DRIED_AND_IN,
        contact=protocol.bell_after,
        to_cover=chemistry.rinse_count * chemistry.rinse_each_for + DRIED_AND_COVERED,
    )

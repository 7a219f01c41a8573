"""What no schedule can beat: days that cannot fit need no simulation. No plan by itself."""

from datetime import timedelta

from flows.calculations.pace import Pace
from flows.calculations.schedule import Day


def least_time(day: Day, pace: Pace) -> timedelta:
    """The last probe is never ready sooner than this after opening.

    Each kind of thing is taken by itself, as if nothing else were ever waited for: what one of
    them has to do, from the first moment on that it can, and what comes after its last turn.
    Source: the critical path and work content of a schedule; arithmetic.
    """
    first = pace.whole if day.unready == day.probes else timedelta(0)
    last_strip = max(pace.detergent, pace.strip)
    in_tub = pace.to_detergent + last_strip + pace.to_bath
    in_bath = pace.strip + pace.to_bath + pace.contact
    return first + max(
        -(-day.patients // day.probes) * (day.exam + pace.whole),
        -(-day.patients // day.rooms) * day.exam + pace.whole,
        day.exam + -(-day.patients // day.tubs) * in_tub + pace.contact + pace.to_cover,
        day.exam + pace.to_detergent + -(-day.patients // day.baths) * in_bath + (pace.to_cover),
        day.patients * (day.exam + pace.hands) / day.people,
    )

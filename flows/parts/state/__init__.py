"""fold(state, event): how what happened becomes what is. The one meaning of every event."""

from collections.abc import Iterable

from flows.parts.clinic import Clinic
from flows.parts.events import Stamped
from flows.parts.state import conversation, cycle, device, oversight, setup, solutions, world
from flows.parts.state.change import apply

__all__ = [
    "conversation",
    "cycle",
    "device",
    "fold",
    "fold_all",
    "oversight",
    "setup",
    "solutions",
]
__all__ += ["world"]


def fold(clinic: Clinic, stamped: Stamped) -> Clinic:
    """What is true after *stamped*. Events that change nothing here give the same clinic."""
    return apply(stamped.event, clinic, stamped)


def fold_all(clinic: Clinic, entries: Iterable[Stamped]) -> Clinic:
    """What is true after all of *entries*, in their order."""
    for stamped in entries:
        clinic = fold(clinic, stamped)
    return clinic

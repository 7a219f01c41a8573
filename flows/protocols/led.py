"""What is known of a disinfectant, and is not enough yet to lead a cycle with it.

Its figures stand on the shelf to be read and compared. Each reason here goes once the steps that
it speaks of are there.
"""

from collections.abc import Iterator

from flows.protocols.fields import SOAKS
from flows.protocols.model import Chemistry, Problem

ASKED = frozenset(
    {
        "amounts_measured",
        "clear_when_used",
        "mixed_today",
        "source_in_date",
        "source_strength_read",
        "used_once",
        "water_boiled_and_cooled",
    }
)
"""The evidence that takes a strip's place, as `flows/containers/single_use.py` asks for it: the
source's date and lot as its jug is opened, its strength, what FRESH states, and a new tub."""


def not_led(chemistry: Chemistry) -> Iterator[Problem]:
    """Why no cycle can be held to *chemistry*; nothing where one can."""
    file = f"{chemistry.name}.toml"
    if chemistry.soaks != SOAKS[0]:
        reason = f"is {chemistry.soaks}: no source gives it as the soak of a device"
        yield Problem(file, "soaks", reason)
    if chemistry.is_single_use:
        yield from _single_use(chemistry, file)
    elif not chemistry.strips:
        reason = (
            "names none: no strip with published times was found; add that of the bottle in hand"
        )
        yield Problem(file, "strips", reason)


def _single_use(chemistry: Chemistry, file: str) -> Iterator[Problem]:
    unasked = [each for each in chemistry.single_use_evidence if each not in ASKED]
    if unasked:
        reason = f"has {', '.join(unasked)}: no step asks for that yet"
        yield Problem(file, "single_use_evidence", reason)
    if chemistry.mixed_to_percent is None:
        reason = "is none: a bath of it is mixed by its strength"
        yield Problem(file, "mixed_to_percent", reason)

"""What is known of a disinfectant, and is not enough yet to lead a cycle with it.

Its figures stand on the shelf to be read and compared. Each reason here goes once the steps that
it speaks of are there.
"""

from collections.abc import Iterator

from flows.protocols.fields import NO_STRIP, SOAKS
from flows.protocols.model import Chemistry, Problem


def not_led(chemistry: Chemistry) -> Iterator[Problem]:
    """Why no cycle can be held to *chemistry*; nothing where one can."""
    file = f"{chemistry.name}.toml"
    if chemistry.soaks != SOAKS[0]:
        reason = f"is {chemistry.soaks}: no source gives it as the soak of a device"
        yield Problem(file, "soaks", reason)
    if chemistry.strip_policy == NO_STRIP:
        reason = f"is {NO_STRIP}: no step asks yet for the evidence that takes a strip's place"
        yield Problem(file, "strip_policy", reason)
    elif not chemistry.strips:
        reason = (
            "names none: no strip with published times was found; add that of the bottle in hand"
        )
        yield Problem(file, "strips", reason)

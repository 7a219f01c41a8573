"""A few names in a text: three at most, and how many more there are."""

from collections.abc import Sequence

from flows.parts.text import Text, say

SHOWN = 3


def listed(names: Sequence[str], most: int = SHOWN) -> Text:
    """The first names, in their order, and how many more; 'none' for none."""
    if not names:
        return say("state.none", "none")
    shown = ", ".join(names[:most])
    if len(names) > most:
        return say("state.more", "{listed} +{count}", listed=shown, count=len(names) - most)
    return say("state.listed", "{listed}", listed=shown)

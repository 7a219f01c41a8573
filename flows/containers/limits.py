"""Which limit decided a date, in words: for a label, and for STATE (S5)."""

from collections.abc import Mapping
from types import MappingProxyType

from flows.parts.text import Text, say
from flows.rules.container_life import EXPIRY, NOT_CHECKED, NOT_VOUCHED_FOR, TOPPED_UP
from flows.rules.found_unfit import AT_FAULT, OF_TOPPED_UP

EARLIER_EXPIRY = "earlier_expiry"
"""In no entry: what was read off another one of its lot, and does not stand on this one."""

_LIMITS: Mapping[str, Text] = MappingProxyType(
    {
        EXPIRY: say("limit.maker_expiry", "the maker's expiry"),
        "jug_open_life": say("limit.jug_open_life", "the jug's open life"),
        "activated_life": say("limit.activated_life", "its life once activated"),
        "reuse_life": say("limit.reuse_life", "its days of use"),
        "bath_life": say("limit.bath_life", "the life of a bath"),
        "mixed_life": say("limit.mixed_life", "its life once mixed"),
        "uses": say("limit.uses", "its soaks are used up"),
        TOPPED_UP: say("limit.topped_up", "it was topped up"),
        OF_TOPPED_UP: say("limit.of_topped_up", "its source was topped up"),
        AT_FAULT: say("limit.at_fault", "it was found faulty"),
        NOT_CHECKED: say("limit.not_checked", "they were not tested"),
        NOT_VOUCHED_FOR: say("limit.not_vouched_for", "nobody can vouch for it"),
        EARLIER_EXPIRY: say("limit.earlier_expiry", "an earlier date of its lot"),
        "open_life": say("limit.open_life", "the strips' open life"),
    }
)


def limit(because: str) -> Text:
    """The limit of that slug in words; an entry of another release may name one unknown here."""
    return _LIMITS.get(because) or say("limit.earliest", "the first of its limits")

"""What may stand in a protocol file: each key, how it is written, and its limits.

Every key must be there (where there is no figure the file says 'none') and bears a source, but
for the names. A key added after a release needs a default, so that protocols stored in older
records can still be read.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import Any, Final

from flows.protocols.figures import (
    CELSIUS,
    CLAIMS,
    COUNT,
    DAYS,
    NAME,
    NAMES,
    SPAN,
    TIMES,
    YES_NO,
    Kind,
    amount,
    one_of,
    optional,
    strength,
    words,
)

REQUIRED: Final = object()
NO_SOURCE: Final = "common practice, none published"

STRIP_POLICIES: Final = ("bath_before_each_use", "bottle_daily", "single_use_no_strip")
"""What a strip tests and when (S4), from the published way to the laxest. The last is for a
solution that no strip exists for: a bath of its own for each soak, and other evidence instead.
Source: FDA, Content and Format of Premarket Notification for Liquid Chemical Sterilants, 2000."""
NO_STRIP: Final = STRIP_POLICIES[-1]

SOAKS: Final = ("device", "container")
"""What a solution is for: the device itself, or only the vessel that a device is soaked in."""


def standing(source: str) -> str:
    """How good a *source* is, in the words of its figure's sentence."""
    if "common practice" in source:
        return "usual"
    return "remembered" if "from memory" in source else "published"


_SECOND = timedelta(seconds=1)
_MINUTE = timedelta(minutes=1)
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a protocol file; the limits are inclusive and catch slips of the pen."""

    kind: Kind
    limits: tuple[Any, Any] | None = None
    default: Any = REQUIRED
    sourced: bool = True


_TITLE = words(14, "OPA 0.55 %")
_WORDS = words(24, "all purple")
_NOTE = words(160, "Cool and dark, lid on")

_NAMED: Mapping[str, Field] = {
    "name": Field(NAME, sourced=False),
    "title": Field(_TITLE, sourced=False),
}

CHEMISTRY: Mapping[str, Field] = {
    **_NAMED,
    "contact_time": Field(SPAN, (_SECOND, timedelta(hours=4))),
    "contact_time_warmer": Field(optional(TIMES), default=None),
    "bell_margin": Field(SPAN, (timedelta(seconds=30), timedelta(minutes=10)), default=_MINUTE),
    "minimum_temperature_c": Field(CELSIUS, (Decimal(10), Decimal(30))),
    "maximum_temperature_c": Field(optional(CELSIUS), (Decimal(15), Decimal(45))),
    "recheck_within_c": Field(CELSIUS, (Decimal(0), Decimal(10)), default=Decimal(2)),
    "maximum_soak": Field(SPAN, (_MINUTE, timedelta(hours=24))),
    "mec": Field(strength(24, "0.3 %")),
    "strips": Field(NAMES),
    "strip_policy": Field(one_of(*STRIP_POLICIES)),
    "strips_each_test": Field(COUNT, (1, 5), default=1),
    "activation_needed": Field(YES_NO),
    "activated_life_days": Field(optional(DAYS), (1, 90)),
    "jug_open_life_days": Field(optional(DAYS), (1, 366)),
    "reuse_life_days": Field(DAYS, (1, 90)),
    "bath_life": Field(optional(SPAN), (_MINUTE, 90 * _DAY)),
    "bath_uses_max": Field(optional(COUNT), (1, 500)),
    "shelf": Field(_NOTE),
    "jug_store_minimum_c": Field(CELSIUS, (Decimal(0), Decimal(30))),
    "wipe_wet_time": Field(SPAN, (10 * _SECOND, timedelta(minutes=30))),
    "rinse_count": Field(COUNT, (1, 10)),
    "rinse_volume_l": Field(amount("l", "8 l"), (Decimal("0.1"), Decimal(50))),
    "rinse_each_for": Field(SPAN, (_SECOND, timedelta(minutes=30))),
    "rinse_water": Field(words(40, "boiled and cooled, or sterile")),
    "hazards": Field(NAMES, sourced=False),
    "disposal": Field(words(144, "Drain with much water")),
    "neutraliser": Field(optional(words(10, "glycine")), default=None),
    "neutraliser_g_per_l": Field(
        optional(amount("g/l", "6.7 g/l")), (Decimal("0.1"), Decimal(500)), default=None
    ),
    "neutralise_for": Field(optional(SPAN), (_MINUTE, timedelta(hours=24)), default=None),
    "soaks": Field(one_of(*SOAKS), default=SOAKS[0]),
    "single_use_evidence": Field(NAMES, default=()),
    "mixed_to_percent": Field(
        optional(amount("%", "0.1 %")), (Decimal("0.01"), Decimal(100)), default=None
    ),
    "disputes": Field(CLAIMS, default=(), sourced=False),
}

STRIP: Mapping[str, Field] = {
    **_NAMED,
    "chemistries": Field(NAMES),
    "dip_for": Field(SPAN, (_SECOND, timedelta(minutes=2))),
    "read_after": Field(SPAN, (_SECOND, timedelta(minutes=15))),
    "read_within": Field(SPAN, (5 * _SECOND, timedelta(minutes=5))),
    "strips_per_test": Field(COUNT, (1, 5)),
    "pass_colour": Field(_WORDS),
    "fail_colour": Field(_WORDS),
    "open_life_days": Field(DAYS, (1, 366)),
    "qc_positive": Field(COUNT, (0, 10)),
    "qc_negative": Field(COUNT, (0, 10)),
    "storage": Field(_NOTE),
    "handling": Field(optional(words(45, "Hold it upright for 5 s.")), default=None),
}

DEVICE: Mapping[str, Field] = {
    **_NAMED,
    "chemistries": Field(NAMES),
    "covers": Field(NAMES),
    "immersion_line": Field(_NOTE),
    "maximum_soak": Field(optional(SPAN), (_MINUTE, timedelta(hours=24))),
    "unplug_needed": Field(YES_NO),
    "bath_volume_ml": Field(COUNT, (50, 20000), default=150),
}

COVER: Mapping[str, Field] = {
    **_NAMED,
    "hang_time": Field(optional(SPAN), (_DAY, 31 * _DAY)),
}

DETERGENT: Mapping[str, Field] = {
    **_NAMED,
    "ml_per_litre": Field(amount("ml/l", "7.8 ml/l"), (Decimal(1), Decimal(100))),
    "soak_for": Field(SPAN, (_SECOND, timedelta(minutes=30))),
    "maximum_soak": Field(SPAN, (_MINUTE, timedelta(hours=10))),
    "water_minimum_c": Field(CELSIUS, (Decimal(5), Decimal(40))),
    "water_maximum_c": Field(CELSIUS, (Decimal(20), Decimal(60))),
    "one_batch_per_device": Field(YES_NO),
    "soak_volume_ml": Field(COUNT, (50, 20000)),
}

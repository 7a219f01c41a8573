"""A translatable text with its values, and the longest values it can take."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from types import MappingProxyType
from typing import Union

Value = Union[str, int, Decimal, datetime, date, timedelta, "Text"]
"""What a placeholder may hold. A `datetime` is shown as the site's own time, a `timedelta` as
minutes, a `Text` in the reader's language."""


@dataclass(frozen=True, slots=True)
class Text:
    """A text that is not yet in any language: its stable slug, its English, its values."""

    slug: str
    english: str
    values: Mapping[str, Value] = field(default_factory=lambda: MappingProxyType({}))


def say(slug: str, english: str, /, **values: Value) -> Text:
    """Make a text. Catalogues are built from the calls of this function, so both are literals."""
    return Text(slug, english, MappingProxyType(values))


LONGEST: Mapping[str, str] = MappingProxyType(
    {
        "device": "WW99",
        "figure": "minimum_temperature_c",
        "other": "WW99",
        "devices": "WW99, WW99, WW99",
        "not_ready": "WW99, WW99, WW99",
        "tag": "WW99",
        "label": "WW99-W",
        "tags": "WW99, WW99, WW99",
        "listed": "WW99, WW99, WW99",
        "source": "WW99",
        "product": "Glutar 3.0 %WW",
        "wipe_with": "Glutar 3.0 %WW from WW99",
        "other_product": "Glutar 3.0 %WW",
        "contents": "12.345 L Glutar 3.0 %WW",
        "code": "WW99-WWWW",
        "patient": "AB12345678",
        "number": "99",
        "old": "99",
        "celsius": "100.0",
        "fahrenheit": "212.0",
        "least": "20.0",
        "most": "25.0",
        "span": "99 min 59 s",
        "late": "99 min 59 s",
        "time": "31 Mar 23:59",
        "until": "31 Mar 23:59",
        "day": "31 Mar 2027",
        "clock": "23:59",
        "closing": "23:59",
        "good_to": "the end of 31 Mar 2027",
        "good_to_row": "to end 31 Mar 2027",
        "expiry": "2027-03-31",
        "other_expiry": "2027-03-31",
        "subject": "WW99",
        "count": "99",
        "diluted": "10",
        "litres": "99.9",
        "amount": "50000",
        "lasts": "99 min 59 s",
        "times": "9999",
        "measure": "WWWWWWWW",
        "unit": "mL",
        "at_hand": "49999.999 mL",
        "dose": "99 x WWWWWWWW (9999.9 mL)",
        "volume": "12.345 L",
        "ratio": "150.0",
        "strength": "150.0 mL/L",
        "percent": "12.345",
        "source_percent": "12.34",
        "water_kind": "boiled, cooled water",
        "rinse_water": "boiled and cooled, or sterile or filtered",
        "neutraliser": "glycine",
        "disposal": "W" * 144,
        "dip_for": "119 s",
        "wait_for": "14 min 59 s",
        "handling": "W" * 45,
        "strip_of": "99 strips of WW99",
        "person": "WWWWWWWWWWWW",
        "contact": "WWWWWWWWWWWW",
        "site": "WWWWWWWWWWWWWWWW",
        "word": "CONTAINER",
        "example": "WW99 OUT 99 21.5",
        "pass_colour": "W" * 24,
        "fail_colour": "W" * 24,
        "digit_a": "9",
        "digit_b": "9",
        "digit_c": "9",
        "reason": "the strip bottle is not good.",
        "lot": "WWWWWWWWWWWW",
        "first": "DETERGENT",
        "second": "DETERGENT",
        "head": "ffffffff",
        "standing": "WW99 NOT READY",
        "kind": "bottle",
        "vessel": "999.999 L bottle",
        "limit": "an earlier date of its lot",
        "why": "its soaks are used up",
        "total": "500",
        "soaks": "Soaks so far: 99 of 500 at most.",
        **dict.fromkeys(
            ("row_a", "row_b", "row_c", "row_d"), "WW99 to end 31 Mar 2027, strip passed"
        ),
        "page": "9",
        "patients": "99",
        "probes": "99",
        "baths": "99",
        "people": "9",
        "tubs": "9",
        "ways": "9 probes, 9 baths, 9 people and 9 detergent tubs",
        **dict.fromkeys(("way_a", "way_b"), "9 detergent tubs"),
        **dict.fromkeys(("mixture_a", "mixture_b"), "DETERGENT"),
        "way_out": "It fits with 9 probes, 9 baths, 9 people and 9 detergent tubs.",
        "towels": "999",
        "covers": "999",
        "gloves": "999",
        "strips": "999",
        "strips_more": "99",
        "drapes": "9",
        "tested": "WW99, WW99, WW99 +99",
        "ending": "WW99, WW99, WW99 +99",
        "in_date": "WW99, WW99, WW99, WW99 +99",
        **dict.fromkeys(
            ("first_a", "first_b"),
            "No Glutar 3.0 %WW is in date: open some (OPEN S) or get some today.",
        ),
        **dict.fromkeys(
            ("soon_a", "soon_b", "soon_c"), "Glutar 3.0 %WW: no jug open, WW99 is last"
        ),
        "get_more": "Get more in time.",
        "product_ml": "99999",
        "detergent_ml": "9999",
        "water_l": "9999",
        "tap_l": "9999",
    }
)
"""The longest value each placeholder can take; the same name means the same thing everywhere.
Registers refuse longer labels, names and tags, so that every text stays one segment."""

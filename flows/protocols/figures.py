"""How a figure is written: '12 min', '20 C', '7.8 ml/l'; into a value, a sentence, JSON, and back.

No kind takes a float: what is recorded must be exactly what was written.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import Any

_UNITS = {
    "days": timedelta(days=1),
    "day": timedelta(days=1),
    "h": timedelta(hours=1),
    "min": timedelta(minutes=1),
    "s": timedelta(seconds=1),
}
_SPAN = re.compile(r"([0-9]{1,5}) (days?|h|min|s)")
_DAYS = re.compile(r"([0-9]{1,5}) days?")
_COUNT = re.compile(r"([0-9]{1,5})")
_NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
_ROW = re.compile(r"(.{1,12} C): (.{1,12})")

GSM_SAFE = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 %.,:;+-/()'"
"""What words for texts may be made of: one septet each. Source: 3GPP TS 23.038, 6.2.1."""


class Unfit(ValueError):
    """Words that cannot stand in a text; it says why, as the rest of a sentence."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One way of writing a figure. `reads` and `thaws` raise ValueError for anything else."""

    reads: Callable[[object], Any]
    shows: Callable[[Any], str]
    thaws: Callable[[Any], Any]
    example: str


def frozen(value: object) -> object:
    """*value* as JSON can hold it: spans in whole seconds, decimals as text, no floats."""
    if isinstance(value, timedelta):
        return value // timedelta(seconds=1)
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, tuple):
        return [frozen(each) for each in value]
    return value


def optional(kind: Kind) -> Kind:
    """The same kind, or the word 'none': what does not exist is said, never left out."""
    return Kind(
        reads=lambda written: None if written == "none" else kind.reads(written),
        shows=lambda value: "none" if value is None else kind.shows(value),
        thaws=lambda plain: None if plain is None else kind.thaws(plain),
        example=f"{kind.example} or none",
    )


def amount(unit: str, example: str) -> Kind:
    """A decimal with its *unit*."""
    pattern = re.compile(rf"([0-9]{{1,5}}(?:\.[0-9]{{1,3}})?) {re.escape(unit)}")
    return Kind(
        reads=lambda written: Decimal(_match(pattern, written)[1]),
        shows=lambda value: f"{value} {unit}",
        thaws=Decimal,
        example=example,
    )


def words(longest: int, example: str) -> Kind:
    """Words that go into texts, at most *longest* characters of the SMS alphabet."""

    def read(written: object) -> str:
        if not isinstance(written, str):
            raise ValueError(written)  # noqa: TRY004  one kind of refusal for every reader
        unfit = _unfit(written, longest)
        if unfit:
            raise Unfit(unfit)
        return written

    return Kind(reads=read, shows=str, thaws=read, example=example)


_STRENGTH = re.compile(r"[0-9]{1,5}(\.[0-9]{1,3})? (%|ppm)( [a-z]+)?|none published")


def strength(longest: int, example: str) -> Kind:
    """A strength with its unit, and what is meant by it; or that there is none.

    What a record holds is thawed as it stands.
    """
    as_words = words(longest, example)

    def read(written: object) -> str:
        if not isinstance(written, str) or not _STRENGTH.fullmatch(written):
            raise ValueError(written)
        return str(as_words.reads(written))

    return Kind(reads=read, shows=str, thaws=as_words.thaws, example=example)


def _unfit(written: str, longest: int) -> str:
    """Why it cannot stand in a text; empty where it can."""
    if not written:
        return "it is empty"
    if written != written.strip():
        return "it begins or ends with a space"
    lacking = dict.fromkeys(each for each in written if each not in GSM_SAFE)
    if lacking:
        named = " ".join(each if each.isprintable() else f"U+{ord(each):04X}" for each in lacking)
        return f"it has {named}; texts are made of A-Z a-z 0-9 and {GSM_SAFE[-11:]}"
    if len(written) > longest:
        return f"it has {len(written)} characters, at most {longest} fit"
    return ""


def one_of(*allowed: str) -> Kind:
    """One word of a closed list."""

    def read(written: object) -> str:
        if written not in allowed:
            raise ValueError(written)
        return str(written)

    return Kind(reads=read, shows=str, thaws=read, example=" or ".join(allowed))


def _match(pattern: re.Pattern[str], written: object) -> re.Match[str]:
    found = pattern.fullmatch(written) if isinstance(written, str) else None
    if found is None:
        raise ValueError(written)
    return found


def _read_span(written: object) -> timedelta:
    found = _match(_SPAN, written)
    return int(found[1]) * _UNITS[found[2]]


def _show_span(span: timedelta) -> str:
    unit = next((name for name, length in _UNITS.items() if span and not span % length), "s")
    count = span // _UNITS[unit]
    return "1 day" if (count, unit) == (1, "days") else f"{count} {unit}"


def _read_count(written: object) -> int:
    if isinstance(written, int) and not isinstance(written, bool):
        return written
    return int(_match(_COUNT, written)[1])


def _read_yes_no(written: object) -> bool:
    if isinstance(written, bool):
        return written
    if written not in ("yes", "no"):
        raise ValueError(written)
    return written == "yes"


def _read_name(written: object) -> str:
    return _match(_NAME, written)[0]


def _read_names(written: object) -> tuple[str, ...]:
    if not isinstance(written, list):
        raise ValueError(written)  # noqa: TRY004  one kind of refusal for every reader
    names = tuple(_read_name(each) for each in written)
    if len(set(names)) < len(names):
        raise Unfit("a name stands in it more than once")
    return names


def _read_rows(written: object) -> tuple[tuple[Decimal, timedelta], ...]:
    if not isinstance(written, str):
        raise ValueError(written)  # noqa: TRY004  one kind of refusal for every reader
    rows = [_match(_ROW, row) for row in written.split(", ")]
    return tuple((CELSIUS.reads(row[1]), SPAN.reads(row[2])) for row in rows)


def _show_rows(rows: Sequence[tuple[Decimal, timedelta]]) -> str:
    return ", ".join(f"{CELSIUS.shows(celsius)}: {SPAN.shows(span)}" for celsius, span in rows)


def _read_claims(written: object) -> tuple[tuple[str, str], ...]:
    if not isinstance(written, list | tuple):
        raise ValueError(written)  # noqa: TRY004  one kind of refusal for every reader
    return tuple(_read_claim(each) for each in written)


def _read_claim(written: object) -> tuple[str, str]:
    if not isinstance(written, Mapping) or set(written) != {"says", "source"}:
        raise ValueError(written)
    says, source = written["says"], written["source"]
    if not all(isinstance(each, str) and each.strip() for each in (says, source)):
        raise ValueError(written)
    return says, source


SPAN = Kind(
    _read_span, _show_span, lambda seconds: timedelta(seconds=_read_count(seconds)), "12 min"
)
DAYS = Kind(
    lambda written: int(_match(_DAYS, written)[1]),
    lambda days: _show_span(timedelta(days=days)),
    _read_count,
    "14 days",
)
CELSIUS = amount("C", "20 C")
COUNT = Kind(_read_count, str, _read_count, "3")
YES_NO = Kind(_read_yes_no, lambda value: "yes" if value else "no", _read_yes_no, "true")
NAME = Kind(_read_name, str, _read_name, "opa_055")
NAMES = Kind(_read_names, ", ".join, _read_names, '["opa_055"]')
TIMES = Kind(
    _read_rows,
    _show_rows,
    lambda rows: tuple((Decimal(celsius), SPAN.thaws(span)) for celsius, span in rows),
    "25 C: 20 min, 30 C: 15 min",
)
"""From which temperature on which span holds."""
CLAIMS = Kind(
    _read_claims,
    lambda claims: "; ".join(f"{says} ({source})" for says, source in claims),
    lambda plain: tuple((str(says), str(source)) for says, source in plain),
    '[{ says = "...", source = "..." }]',
)
"""What is said, and by whom."""

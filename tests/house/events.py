"""What every event ever shipped is called and holds; added to by `python -m tests.house.events`.

An entry is for ever: an event may be added, and a field with a default, but none may go, be
renamed or change its type. The samples are one entry of each, as a release wrote it.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from enum import Enum
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from flows.parts.encoding import encode
from flows.parts.events import EVENTS

SHIPPED = Path(__file__).parent / "events.json"
SAMPLES = Path(__file__).parent / "event_samples.jsonl"

Shapes = dict[str, dict[str, str]]


def shapes() -> Shapes:
    """Every event of today's code, and every part that one holds: its fields and their types."""
    found: dict[str, Any] = dict(EVENTS)
    for kind in (queue := list(EVENTS.values())):
        for inner in _nested(_hints(kind).values()):
            if inner.__name__ not in found:
                found[inner.__name__] = inner
                queue.append(inner)
    return {name: _shape(kind) for name, kind in sorted(found.items())}


def _shape(kind: Any) -> dict[str, str]:
    if issubclass(kind, Enum):
        return {str(member.value): "value" for member in kind}
    return {name: _written(hint) for name, hint in _hints(kind).items()}


def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind) if is_dataclass(kind) else {}


def _nested(hints: Iterable[Any]) -> Iterator[Any]:
    """The parts and enumerations that these types are made of."""
    for hint in hints:
        if get_args(hint):
            yield from _nested(get_args(hint))
        elif is_dataclass(hint) or (isinstance(hint, type) and issubclass(hint, Enum)):
            yield hint


def ever_shipped() -> Shapes:
    """What has been shipped up to now."""
    shipped: Shapes = json.loads(SHIPPED.read_text("utf-8"))
    return shipped


def samples() -> list[dict[str, Any]]:
    """The kept entries: each is the event's name and its fields as they were written."""
    return [json.loads(line) for line in SAMPLES.read_text("utf-8").splitlines()]


def sample_of(name: str) -> dict[str, Any]:
    """An entry of that event, each field filled in."""
    kind = EVENTS[name]
    values = {part.name: _value(hint, part.name) for part, hint in _parts(kind)}
    return {"event": name, "fields": encode(kind(**values))}


def lost(shipped: Shapes, today: Shapes) -> list[str]:
    """What was shipped and is gone or of another type: never allowed."""
    return [
        f"{name}.{field}: was {kind}, is {today.get(name, {}).get(field, 'gone')}"
        for name, held in shipped.items()
        for field, kind in (held or {"": "an event"}).items()
        if (field or name not in today) and today.get(name, {}).get(field) != kind
    ]


def unlisted(shipped: Shapes, today: Shapes) -> list[str]:
    """What is in the code and not yet in the list."""
    return [name for name in today if name not in shipped] + [
        f"{name}.{field}"
        for name, held in today.items()
        for field in held
        if field not in shipped.get(name, held)
    ]


def without_default(shipped: Shapes) -> list[str]:
    """Fields added after an event was first shipped that older entries could not be read with."""
    first = {each["event"]: each["fields"] for each in reversed(samples())}
    return [
        f"{name}.{part.name}"
        for name, kind in EVENTS.items()
        for part, _ in _parts(kind)
        if name in shipped and part.name not in first[name] and _must_be_given(part)
    ]


def _must_be_given(part: Field[Any]) -> bool:
    return part.default is MISSING and part.default_factory is MISSING


def _parts(kind: Any) -> list[tuple[Field[Any], Any]]:
    hints = _hints(kind)
    return [(part, hints[part.name]) for part in fields(kind)]


def _written(hint: Any) -> str:
    """A type as it stands in the list."""
    if get_origin(hint) in {Union, UnionType}:
        return " or ".join(sorted(map(_written, get_args(hint))))
    if get_args(hint):
        inner = ", ".join("..." if each is ... else _written(each) for each in get_args(hint))
        return f"{get_origin(hint).__name__}[{inner}]"
    return str(hint.__name__)


_VALUES: Mapping[Any, Callable[[str], Any]] = {
    str: lambda name: name,
    bool: lambda _: True,
    int: lambda _: 77,
    Decimal: lambda _: Decimal("21.5"),
    datetime: lambda _: datetime(2026, 3, 2, 9, 0, 0, 250, tzinfo=UTC),
    date: lambda _: date(2026, 3, 2),
    timedelta: lambda _: timedelta(minutes=12, microseconds=1),
}


def _value(hint: Any, name: str) -> Any:
    """Something of that type, that shows where it came from."""
    if hint in _VALUES:
        return _VALUES[hint](name)
    if get_args(hint):
        return _value_of_many(get_origin(hint), get_args(hint), name)
    if issubclass(hint, Enum):
        return next(iter(hint))
    return hint(**{part.name: _value(inner, part.name) for part, inner in _parts(hint)})


def _value_of_many(origin: Any, arguments: tuple[Any, ...], name: str) -> Any:
    if origin in {Union, UnionType}:
        return _value(next(each for each in arguments if each is not NoneType), name)
    if origin is tuple:
        return (_value(arguments[0], name),)
    return {"key": _value(arguments[-1], name)}


def write() -> None:
    """Add what is new to the list and a sample of it; what is there stays as it is."""
    shipped, today = (ever_shipped() if SHIPPED.exists() else {}), shapes()
    old = SAMPLES.read_text("utf-8").splitlines() if SAMPLES.exists() else []
    grown = {entry.split(".")[0] for entry in unlisted(shipped, today)} & set(EVENTS)
    new = [json.dumps(sample_of(name), sort_keys=True) for name in sorted(grown)]
    SAMPLES.write_text("\n".join([*old, *new]) + "\n", "utf-8")
    names = {*shipped, *today}
    merged = {name: {**today.get(name, {}), **shipped.get(name, {})} for name in names}
    SHIPPED.write_text(json.dumps(merged, indent=1, sort_keys=True) + "\n", "utf-8")


if __name__ == "__main__":
    write()

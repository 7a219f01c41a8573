"""What a correction says: a field of an entry, and the value it should have had, as text (S15)."""

import json
from typing import Any, get_type_hints

from flows.parts.encoding import decode, encode
from flows.parts.events import Event


def type_of(event: Event, field: str) -> Any:
    """The type of a field of *event*. Raises KeyError where it has none of that name."""
    return get_type_hints(type(event))[field]


def as_written(value: Any) -> str:
    """A value as the record has it: what is text there as it is, anything else as JSON."""
    plain = encode(value)
    return plain if isinstance(plain, str) else json.dumps(plain)


def as_meant(event: Event, field: str, written: str) -> Any:
    """The value of a field again. Raises KeyError, TypeError or ValueError where it is none."""
    kind = type_of(event, field)
    try:
        value = decode(kind, json.loads(written))
        if as_written(value) == written:
            return value
    except (TypeError, ValueError, AttributeError):
        pass
    return decode(kind, written)

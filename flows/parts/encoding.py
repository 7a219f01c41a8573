"""Parts as plain JSON-ready values and back: what an entry or a row holds.

Exact both ways: times are UTC with microseconds, spans are whole microseconds, temperatures are
decimal strings. There are no floats anywhere. A field that a newer release has added is read
from an older entry as its default, so every entry ever written still decodes.
"""

import json
from collections.abc import Callable, Hashable, Mapping
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from enum import Enum
from functools import cache
from types import MappingProxyType, NoneType, UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")
Decoder = Callable[[Any], Any]

_MICROSECOND = timedelta(microseconds=1)

as_text = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode
"""Plain values as the one text that equal values have."""


def _time(value: datetime) -> str:
    if value.tzinfo is None:
        raise ValueError(f"{value} has no time zone; the record keeps UTC only.")
    return f"{value.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='microseconds')}Z"


_ENCODERS: tuple[tuple[type, Callable[[Any], Any]], ...] = (
    (bool, bool),
    (NoneType, lambda _: None),
    (Enum, lambda value: value.value),
    (str, str),
    (int, int),
    (datetime, _time),
    (date, date.isoformat),
    (timedelta, lambda value: value // _MICROSECOND),
    (Decimal, lambda value: format(value, "f")),
    (tuple, lambda value: [encode(item) for item in value]),
    (frozenset, lambda value: sorted(encode(item) for item in value)),
    (Mapping, lambda value: {str(key): encode(item) for key, item in value.items()}),
)


def encode(value: Any) -> Any:
    """*value* as None, bool, int, str, list or dict. Raises TypeError for what cannot be kept."""
    kind: Any = type(value)
    if kind is str:  # most values are: this is what an exchange does most often
        return value
    encoder = _encoder(kind)
    if encoder is None:
        raise TypeError(f"{type(value).__name__} cannot be kept in the record: {value!r}")
    return encoder(value)


@cache
def _encoder(kind: type) -> Callable[[Any], Any] | None:
    """How a *kind* is written; looked up once, because an exchange writes hundreds of values."""
    for known, encoder in _ENCODERS:
        if issubclass(kind, known):
            return encoder
    if not is_dataclass(kind):
        return None
    names = tuple(part.name for part in fields(kind))
    return lambda value: {name: encode(getattr(value, name)) for name in names}


def decode(kind: type[T], plain: Any) -> T:
    """The *kind* that was encoded as *plain*. Raises KeyError, TypeError or ValueError if not."""
    result: T = _decoder(cast("Hashable", kind))(plain)
    return result


_SIMPLE: Mapping[Any, Decoder] = {
    bool: bool,
    int: int,
    str: str,
    Decimal: Decimal,
    datetime: datetime.fromisoformat,
    date: date.fromisoformat,
    timedelta: lambda plain: timedelta(microseconds=plain),
}


@cache
def _decoder(kind: Hashable) -> Decoder:
    return _decoder_of(kind)


def _decoder_of(kind: Any) -> Decoder:
    if kind in _SIMPLE:
        return _SIMPLE[kind]
    origin, arguments = get_origin(kind), get_args(kind)
    if origin in {Union, UnionType}:
        return _optional(arguments)
    if origin is not None:
        return _collection(
            _COLLECTIONS[origin], _decoder(arguments[-1 if origin is Mapping else 0])
        )
    if issubclass(kind, Enum):
        return cast("Decoder", kind)
    return _dataclass(kind)


_COLLECTIONS: Mapping[Any, Callable[[Decoder, Any], Any]] = {
    tuple: lambda item, plain: tuple(item(each) for each in plain),
    frozenset: lambda item, plain: frozenset(item(each) for each in plain),
    Mapping: lambda item, plain: MappingProxyType({key: item(plain[key]) for key in plain}),
}


def _collection(build: Callable[[Decoder, Any], Any], item: Decoder) -> Decoder:
    return lambda plain: build(item, plain)


def _optional(arguments: tuple[Any, ...]) -> Decoder:
    (kind,) = (argument for argument in arguments if argument is not NoneType)
    inner = _decoder(kind)
    return lambda plain: None if plain is None else inner(plain)


def _dataclass(kind: Any) -> Decoder:
    hints = get_type_hints(kind)
    parts = [(part.name, _decoder(hints[part.name])) for part in fields(kind)]

    def build(plain: Mapping[str, Any]) -> Any:
        return kind(**{name: read(plain[name]) for name, read in parts if name in plain})

    return build

"""An event as canonical JSON: the bytes that are hashed, and back."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import rfc8785

from flows.parts.encoding import as_text, decode, encode
from flows.parts.events import EVENTS, Stamped

_LONG_NUMBER = re.compile(r"\d{16}")
"""Beyond 2**53 JSON's numbers are not exact, and RFC 8785 has no form for them."""

VERSION = 1
"""The shape of a body. A later release reads every earlier one."""

COLUMNS = ("at", "kind", "cycle", "device", "person", "phone", "cause")
"""What the columns beside a body repeat of it."""


class EntryUnreadable(ValueError):
    """A body that this release cannot read."""

    def __init__(self, why: str) -> None:
        super().__init__(f"An entry cannot be read: {why}. Nothing was changed.")
        self.why = why


@dataclass(frozen=True, slots=True)
class Entry:
    site: str
    seq: int
    stamped: Stamped

    @property
    def kind(self) -> str:
        return type(self.stamped.event).__name__

    @property
    def body(self) -> str:
        """Canonical JSON (RFC 8785), kept as text: its UTF-8 bytes are what is hashed."""
        stamp = self.stamped
        return canonical(
            {
                "v": VERSION,
                "site": self.site,
                "seq": self.seq,
                "kind": self.kind,
                "at": encode(stamp.at),
                "person": stamp.person,
                "phone": stamp.phone,
                "cause": stamp.cause,
                "event": encode(stamp.event),
            }
        )

    @property
    def columns(self) -> Mapping[str, Any]:
        """What is repeated beside the body, so that it can be asked for."""
        stamp = self.stamped
        return {
            "at": stamp.at,
            "kind": self.kind,
            "cycle": getattr(stamp.event, "cycle", None),
            "device": getattr(stamp.event, "device", None),
            "person": stamp.person,
            "phone": stamp.phone,
            "cause": stamp.cause,
        }


def is_canonical(body: str) -> bool:
    """Whether *body* is written in the one way in which its content can be written."""
    return rfc8785.dumps(json.loads(body)) == body.encode("utf-8")


def canonical(plain: Mapping[str, Any]) -> str:
    """RFC 8785, by the quick encoder where that cannot differ: ASCII, and no float or long number.

    What is left is the library's, to sort by UTF-16 or to refuse.
    """
    quick = as_text(plain)
    if quick.isascii() and not _LONG_NUMBER.search(quick):
        return quick
    return rfc8785.dumps(plain).decode("utf-8")


def read_entry(body: str) -> Entry:
    """The entry whose body this is. Raises EntryUnreadable for what no release has written."""
    try:
        plain = json.loads(body)
        _expect_known(plain["v"], plain["kind"])
        return _entry(plain)
    except (KeyError, TypeError, ValueError) as error:
        raise EntryUnreadable(f"{type(error).__name__}: {error}") from error


def _expect_known(version: int, kind: str) -> None:
    if version > VERSION:
        raise ValueError(f"it has shape {version}, this release knows {VERSION}; upgrade first")
    if kind not in EVENTS:
        raise ValueError(f"this release knows no event {kind}; upgrade first")


def _entry(plain: Mapping[str, Any]) -> Entry:
    stamped = Stamped(
        event=decode(EVENTS[plain["kind"]], plain["event"]),
        at=decode(datetime, plain["at"]),
        person=plain["person"],
        phone=plain["phone"],
        cause=plain["cause"],
    )
    return Entry(plain["site"], plain["seq"], stamped)

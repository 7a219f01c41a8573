"""IN T2, PUT IT BACK IN, IN ROOM 2: whether a text says that a probe was put in (S3)."""

import re
from decimal import Decimal
from enum import Enum, auto
from itertools import pairwise

from flows.replies import NotUnderstood
from flows.replies.in_out import words_after
from flows.replies.numbers import figures, is_figure, with_noughts
from flows.replies.tags import VESSEL, tags_in
from flows.replies.temperature import unit_of
from flows.replies.typed import POLITE, Typed

RATHER_MINUTES = 15
"""What no bath by a sink has in C, and what a soak may still last. Source: common practice."""

_IN = re.compile(r"IN(?:[^\w\u00b0]*[0-9].*)?")
_UNITS = frozenset(
    {"MIN", "MINS", "MINUTE", "MINUTES", "SEC", "SECS", "SECOND", "SECONDS", "MOMENT", "BIT"}
    | {"HOUR", "HOURS"}
)
_OF_TIME = _UNITS | {"HOW", "TIME"}
_SMALL = POLITE | {"A", "AN", "THE", "IS", "IT", "ITS"}
_AROUND_TIME = _SMALL | {"MANY", "MUCH", "LONG", "MORE", "FEW", "HALF", "LITTLE"}

_OF_A_BATH = (
    _SMALL
    | _OF_TIME
    | {"I", "WE", "WAS", "HAS", "BEEN", "PROBE", "BACK", "PUT", "OUT", "WENT", "AGAIN"}
    | {"STILL", "ALREADY", "AND", "SAME", "OTHER", "ANOTHER", "WRONG", "FRESH", "NEW", "SORRY"}
    | {"BATH", "TUB", "LIQUID", "SOLUTION", "DISINFECTANT", "DETERGENT", "WATER", "SOAP"}
    | {"BOTTLE", "JUG", "BASIN", "SINK", "CONTAINER", "AGO", "SINCE", "FOR", "FROM", "LATE"}
    | {"ABOUT", "AT", "OF", "TO", "TEMP", "TEMPERATURE", "DEGREES", "BELL", "NUMBER", "NR"}
)
"""What people say around IN that leaves it what it is; with any other word it may be anything."""

_SOMEWHERE_ELSE = frozenset(
    {"ROOM", "ROOMS", "TOILET", "LOO", "BATHROOM", "RESTROOM", "WASHROOM", "KITCHEN", "OFFICE"}
    | {"MEETING", "CORRIDOR", "HALL", "LAB", "PHARMACY", "STORE", "STOCK", "TOWN", "TRAINING"}
    | {"CHARGE", "ORDER", "QUEUE", "HURRY", "GENERAL", "FACT", "CASE"}
)
"""Where a person is, or what is so; nothing that a probe is put in."""

_POURED = frozenset(
    {"WATER", "SOME", "MORE", "OPA", "SOLUTION", "BIT", "REST", "DROP", "DROPS", "LITTLE"}
    | {"LIQUID", "DISINFECTANT", "DETERGENT", "SOAP", "BLEACH", "CHLORINE", "REMAINDER"}
)
_PUT = frozenset({"IT", "THEM", "BOTH", "PROBE", "PROBES"})
"""What is put in a bath to soak; those others are poured."""
_WHO_PUT = POLITE | {
    "I",
    "WE",
    "I'VE",
    "HAVE",
    "SHE",
    "HE",
    "SOMEONE",
    "SOMEBODY",
    "SORRY",
    "JUST",
}
_BESIDE_POURED = POLITE | {"A", "AN", "THE", "OF", "BACK", "FRESH", "NEW", "OLD", "CLEAN", "WARM"}


class Said(Enum):
    IN = auto()
    MAYBE = auto()
    """It begins as that would, and goes on otherwise: whoever has sent it is asked."""
    NOTHING = auto()


def said_in(typed: Typed) -> Said:
    """S3, S8: whether a text says that it was put in, or back in, however little else is clear.

    T1 IN 23 says so where nothing else stands beside it; T1 IN USE does not.
    """
    led = _behind_a_tag(typed)
    if led is not None:
        return Said.IN if said_in(led) is Said.IN else Said.NOTHING
    if (
        not _begins(typed)
        or is_poured(typed)
        or _is_about_time(typed)
        or _is_somewhere_else(typed)
    ):
        return Said.NOTHING
    if any(map(VESSEL.fullmatch, typed.words)):
        return Said.IN
    clear = all(map(_is_of_a_bath, typed.words)) and not _is_back_in_time(typed)
    return Said.IN if clear else Said.MAYBE


def _behind_a_tag(typed: Typed) -> Typed | None:
    """T1 IS IN 23, 73 T1 IN 23, from IN on and without its tags; None where none stands before."""
    before = typed.words[: typed.words.index("IN")] if "IN" in typed.words else ()
    is_led = any(map(VESSEL.fullmatch, before)) and all(
        word in _SMALL or is_figure(word) or VESSEL.fullmatch(word) for word in before
    )
    behind = typed.after(len(before))
    return behind.without(*filter(VESSEL.fullmatch, behind.words)) if is_led else None


def is_poured(typed: Typed) -> bool:
    """S6: PUT SOME MORE IN T1, PUT T1 BACK IN J1: what was put in is a liquid, and no probe."""
    what, where = _put_in(typed)
    is_between_two = any(map(VESSEL.fullmatch, what)) and any(map(VESSEL.fullmatch, where))
    return _PUT.isdisjoint(what) and (is_between_two or not _POURED.isdisjoint(what))


def poured_into(typed: Typed) -> tuple[str, ...]:
    """S6: the tags of what a liquid was put in; none where it may have been anything else."""
    if typed.asks or not is_poured(typed):
        return ()
    what, where = _put_in(typed)
    known = _POURED | _BESIDE_POURED
    is_liquid = all(word in known or VESSEL.fullmatch(word) for word in what)
    return tuple(tags_in(where).values()) if is_liquid else ()


def _put_in(typed: Typed) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """I PUT SOME MORE IN T1: what stands between PUT and IN, and what stands behind."""
    start = typed.words.index("PUT") if "PUT" in typed.words else len(typed.words)
    rest = typed.words[start + 1 :]
    if not _WHO_PUT.issuperset(typed.words[:start]) or "IN" not in rest:
        return (), ()
    at = rest.index("IN")
    return rest[:at], rest[at + 1 :]


def says_in(typed: Typed) -> bool:
    """S3: whether it says so beyond doubt."""
    return said_in(typed) is Said.IN


def tells_a_reading(typed: Typed) -> bool:
    """S4: IN 23 BUT STILL WET: a figure such as a bath has; IN 20 MIN DRYING IT tells a time."""
    pairs = pairwise((*typed.words, ""))
    return any(
        each.value >= RATHER_MINUTES and after not in _UNITS and each.unit not in _UNITS
        for word, after in pairs
        for each in figures([word])
        if isinstance(each.value, Decimal)
    )


def _begins(typed: Typed) -> bool:
    if typed.asks or not typed.words:
        return False
    first = typed.words[0]
    return bool(_IN.fullmatch(first)) or (first in {"BACK", "PUT"} and "IN" in typed.words)


def _is_of_a_bath(word: str) -> bool:
    is_read = is_figure(with_noughts(word)) or unit_of(word) is not None
    return word in _OF_A_BATH or is_read or bool(_IN.fullmatch(word))


def _is_about_time(typed: Typed) -> bool:
    """IN 5 MIN, IN HOW MANY MINUTES; with any other word, or two figures, it may tell of an IN.

    BACK IN A MINUTE says that of a person; BACK IN 5 MIN, BACK IN 10 may be said of the probe.
    """
    is_back = typed.words[0] == "BACK"
    rest = _beside_time(typed.after(int(is_back)))
    return rest is not None and len(rest) <= int(not is_back) and all(map(is_figure, rest))


def _is_back_in_time(typed: Typed) -> bool:
    rest = typed.after(1)
    is_time = _beside_time(rest) is not None or is_bare_minutes(rest)
    return typed.words[0] == "BACK" and is_time


def _beside_time(typed: Typed) -> list[str] | None:
    """What else stands behind IN than a time; None where none does."""
    words = words_after("IN", typed)
    if isinstance(words, NotUnderstood) or _OF_TIME.isdisjoint(words):
        return None
    return [word for word in words if word not in _OF_TIME | _AROUND_TIME]


def _is_somewhere_else(typed: Typed) -> bool:
    """IN THE TOILET, IN ROOM 2: nothing else is said."""
    words = words_after("IN", typed)
    told = [] if isinstance(words, NotUnderstood) else [x for x in words if x not in _SMALL]
    return bool(told) and told[0] in _SOMEWHERE_ELSE and all(map(is_figure, told[1:]))


def is_bare_minutes(typed: Typed) -> bool:
    """S3: IN 12 while it soaks: minutes, or a bath far too cold; it has to be asked back."""
    words = words_after("IN", typed)
    told = (
        [] if isinstance(words, NotUnderstood) else [each for each in words if each not in POLITE]
    )
    return len(told) == 1 and told[0].isdecimal() and int(told[0]) < RATHER_MINUTES

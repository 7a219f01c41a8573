"""S15: a correction is an entry of its own and names the one it corrects, which stays."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from enum import Enum
from types import NoneType
from typing import Any, get_args
from zoneinfo import ZoneInfo

from bot.record.correction import as_written, type_of
from bot.record.written import Written, of_number
from bot.registers.corrected import Corrections, follows, of_entry
from bot.registers.draft import NotSetUp, Standing
from bot.registers.rows import day, label, lot, moment, tag, yes_no
from bot.registers.set_up import SetUp
from bot.reports.timeline import corrections
from bot.store.people import digest_of, names_of
from bot.store.transaction import Store
from flows.parts.decision import KeptText
from flows.parts.events import Corrected, Sealed
from flows.parts.moment import Moment
from flows.parts.stock import CHLORINE
from flows.protocols import shipped
from flows.protocols.figures import SPAN
from flows.protocols.model import Problem
from flows.replies import NotUnderstood
from flows.replies.patient_code import patient_code
from flows.rules.strip import FAIL, NO_RESULT, PASS, UNSURE

OWN = frozenset(
    {
        "alert",
        "answer",
        "because",
        "bell",
        "case",
        "code",
        "cycle",
        "digest",
        "fingerprint",
        "inbound",
    }
    | {
        "outbox",
        "protocol",
        "reason",
        "reason_digest",
        "recall",
        "site",
        "slug",
        "strip_in",
        "strip_test",
    }
    | {"test", "thread", "use"}
)
"""Ids, digests and reasons of the bot's own making: nobody has misread one."""

DONE = frozenset({"activated", "ended", "mixed", "opened", "poured", "sent_at"})
"""When something was done: it is never still to come."""

PEOPLE = frozenset({"person", "with_person"})
LABELS = frozenset({"device"})
TAGS = frozenset({"tag", "source", "bath", "container", "strips"})

_WORDS = re.compile(r"[\w:/.%+-]+( [\w:/.%+-]+){0,2}", re.ASCII)
LONGEST = 32
"""Characters of a correction that is neither a figure nor an id: no room for a story."""
_NUMBER = re.compile(r"\d{7,}")
"""Maybe a phone's. Source: ITU-T E.164 for its form; the length is common practice."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What somebody typed: that field *name* of entry *seq* should have been *value*, and why."""

    seq: int
    name: str
    value: str = field(repr=False)
    reason: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class _Known:
    """Who and what a site knows, and the time it goes by."""

    stands: Standing
    names: Mapping[str, str]
    now: datetime

    @property
    def zone(self) -> ZoneInfo:
        site = self.stands.clinic.site
        return ZoneInfo(site.zone if site else "UTC")


def correct(store: Store, site: str, wish: Wish, at: Moment, stands: Standing) -> SetUp:
    """What is to be written so that the record says how an entry should have read.

    A date that was too late moves earlier by it, with its lot and what was poured; what was poured
    inactive or onto a rest, and strips that passed no control, are out of use with all that went
    by them; a strip that failed after all acts as a fail told then; nothing else that is so now
    changes, and the remarks say what to do about it.
    Raises NotSetUp where there is no such entry or field, where the value is none of that field's
    kind, and where it would bring in somebody's name.
    """
    with store.read() as connection:
        entry = of_number(connection, site, wish.seq)
        before = of_entry(corrections(connection, site), wish.seq)
        known = _Known(stands, names_of(connection, site), at.now)
    where = f"entry {wish.seq}"
    reason = " ".join(wish.reason.split())
    if entry is None or isinstance(entry.stamped.event, Corrected | Sealed):
        what = "is not in this record" if entry is None else "is one that nobody corrects"
        raise NotSetUp((Problem(site, where, what),))
    if not reason:
        raise NotSetUp((Problem(where, "reason", "is missing; say what was wrong"),))
    value = _value(entry, wish, known)
    before.pop(wish.name, None)
    made = Corrections(entry.stamped.event, {**before, wish.name: value})
    more, remarks = follows(made, stands.clinic, known.zone, at)
    salt = at.ident(f"salt/correction/{wish.seq}/{wish.name}")
    digest = digest_of(salt, reason)
    return SetUp(
        site=site,
        at=at.now,
        events=(Corrected(wish.seq, wish.name, value, digest), *more),
        texts=(KeptText(digest, salt, reason),),
        remarks=remarks,
    )


def _value(entry: Written, wish: Wish, known: _Known) -> str:
    event: Any = entry.stamped.event
    where = f"entry {wish.seq}"
    try:
        kind = type_of(event, wish.name)
    except KeyError:
        names = ", ".join(part.name for part in fields(event) if part.name not in OWN) or "none"
        refusal = Problem(where, wish.name, f"is no field of {entry.kind}; it has {names}")
        raise NotSetUp((refusal,)) from None
    try:
        value = _read(kind, wish.name, wish.value.strip(), known)
    except (ValueError, InvalidOperation) as error:
        raise NotSetUp((Problem(where, wish.name, str(error)),)) from None
    if value == getattr(event, wish.name):
        raise NotSetUp((Problem(where, wish.name, "says that already"),))
    return as_written(value)


def _read(kind: Any, name: str, typed: str, known: _Known) -> Any:
    """The value meant. Raises ValueError with the rest of the sentence."""
    kinds = get_args(kind)
    if name in OWN:
        raise ValueError("is a name or a sum of the bot's own, which nobody can have got wrong")
    if NoneType in kinds:
        if typed.lower() == "none":
            return None
        (kind,) = (each for each in kinds if each is not NoneType)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return _of_list(kind, typed)
    if kind is str:
        return _text(name, typed, known)
    if kind not in _FIGURES:
        raise ValueError("holds more than one value, and cannot be corrected as a whole")
    reads, wanted = _FIGURES[kind]
    value = reads(typed, known)
    if value is None:
        raise ValueError(f"is no {typed}; {wanted}")
    return _done(value, typed, known) if name in DONE else value


def _done(value: datetime, typed: str, known: _Known) -> datetime:
    if value > known.now:
        raise ValueError(f"is {typed}, which is still to come; give the time at which it was done")
    return value


def _of_list(kind: type[Enum], typed: str) -> Enum:
    try:
        return kind(typed)
    except ValueError:
        allowed = ", ".join(str(each.value) for each in kind)
        raise ValueError(f"is no {typed}; one of {allowed}") from None


# -- figures ------------------------------------------------------------------------------------


def _whole(typed: str, _: _Known) -> int | None:
    return int(typed) if re.fullmatch(r"[0-9]{1,5}", typed) else None


def _decimal(typed: str, _: _Known) -> Decimal | None:
    return Decimal(typed) if re.fullmatch(r"-?[0-9]{1,5}(\.[0-9]{1,3})?", typed) else None


def _span(typed: str, _: _Known) -> timedelta | None:
    try:
        span: timedelta = SPAN.reads(typed)
    except ValueError:
        return None
    return span


def _moment(typed: str, known: _Known) -> datetime | None:
    read = moment(typed, known.zone)
    return read if isinstance(read, datetime) else None


_FIGURES: Mapping[type, Any] = {
    bool: (lambda typed, _: yes_no(typed), "yes or no"),
    int: (_whole, "a whole number"),
    Decimal: (_decimal, "a number, like 21.5"),
    timedelta: (_span, "a span with its unit, like 801 s"),
    datetime: (_moment, "the site's own day and time, like 2026-03-01 08:30:05"),
    date: (lambda typed, _: day(typed), "a day as year, month, day, like 2027-03-31"),
}


# -- text ---------------------------------------------------------------------------------------


def _text(name: str, typed: str, known: _Known) -> str:
    """S15, S16: an id that is known here, a label, a code, or a word; never a name or a story."""
    if name in PEOPLE:
        return _id(typed, known.stands.clinic.people, "person")
    if name == "phone":
        return _id(typed, known.stands.clinic.phones, "phone")
    if _names_somebody(typed, known.names):
        raise ValueError("would hold a name, which the record must not")
    value: str | None = _SHAPES.get(name, _word)(typed)
    if value is None:
        raise ValueError("is not written like that; words at most, and no sentence")
    return value


def _id(typed: str, known: Mapping[str, Any], what: str) -> str:
    if typed not in known:
        raise ValueError(f"is the opaque id of a {what} of this site, and that is none")
    return typed


def _names_somebody(typed: str, names: Mapping[str, str]) -> bool:
    folded = typed.casefold()
    return any(
        re.search(rf"(?<!\w){re.escape(name.casefold())}(?!\w)", folded) for name in names.values()
    )


def _patient(typed: str) -> str | None:
    read = patient_code(typed.upper().split())
    return None if isinstance(read, NotUnderstood) else read.code


def _word(typed: str) -> str | None:
    short = len(typed) <= LONGEST and not _NUMBER.search(typed)
    return typed if short and _WORDS.fullmatch(typed) else None


def _outcome(typed: str) -> str:
    return _one_of((PASS, FAIL, NO_RESULT), typed)


def _seen(typed: str) -> str:
    return _one_of((PASS, FAIL, UNSURE), typed)


def _one_of(words: Sequence[str], typed: str) -> str:
    if typed not in words:
        raise ValueError(f"is no {typed}; one of {', '.join(words)}")
    return typed


def _product(typed: str) -> str | None:
    """S18: under a name that no file has, a recall would find nothing that rests on it."""
    if _word(typed) is None:
        return None
    shelf = shipped()
    known = (*shelf.chemistries, *shelf.strips, *shelf.detergents, CHLORINE)
    if typed not in known:
        raise ValueError(f"is no product here; one of {', '.join(known)}")
    return typed


_SHAPES: Mapping[str, Any] = {
    **dict.fromkeys(LABELS, label),
    **dict.fromkeys(TAGS, tag),
    "lot": lot,
    "outcome": _outcome,
    "patient": _patient,
    "product": _product,
    "seen": _seen,
}

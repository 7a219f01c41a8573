"""OPEN 270331 D4417: what stood behind the word, read before anything is opened (S5, S18)."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from flows.replies import NotUnderstood

TOLD, TOLD_LOT = "told", "told_lot"
"""Where the frame keeps what was said with OPEN until it is read, and what may be the lot."""

_EXPIRES = frozenset({"EXP", "EXPIRY", "EXPIRES", "EXPIRE"})
_LOT = frozenset({"LOT", "BATCH"})
_OF_ANOTHER_DAY = frozenset(
    {"MADE", "MAN", "MFD", "MFG", "MANUFACTURED", "PROD", "PRODUCED", "PACKED", "FILLED"}
    | {"RECEIVED", "BOUGHT", "OPENED", "SINCE", "AGO", "YESTERDAY", "LAST", "WEEK", "AM", "PM"}
)
"""Words beside a date that is no expiry, or of a jug that was opened before now."""
_PART_OF_A_DATE = re.compile("[0-9]{1,2}")
_WORDS_OF_A_DATE = 3

Words = Sequence[str]
ReadsDate = Callable[[Words], date | NotUnderstood]


@dataclass(frozen=True, slots=True)
class Told:
    """An expiry that can only be that one, and the words left, which may be the lot."""

    day: date
    lot: Words


def told_with_it(words: Words, reads: ReadsDate) -> Told | None:
    """The expiry and the rest; None where any of it could be read otherwise.

    Behind EXP stands the date, behind LOT the lot; without these words the date stands first, or
    else last. Of two days the other may be the one it was made on.
    """
    if not _OF_ANOTHER_DAY.isdisjoint(words):
        return None
    expires = next((at for at, word in enumerate(words) if word in _EXPIRES), None)
    lot = next((at for at, word in enumerate(words) if word in _LOT), None)
    if expires is not None:
        ends = lot if lot is not None and lot > expires else len(words)
        rest = [*words[:expires], *words[ends:]]
        return _whole(
            words[expires + 1 : ends], [each for each in rest if each not in _LOT], reads
        )
    if lot:
        return _whole(words[:lot], words[lot + 1 :], reads)
    if lot == 0:
        return _at_an_end([(words[-size:], words[1:-size]) for size in _sizes(words[2:])], reads)
    before = [(words[:size], words[size:]) for size in _sizes(words)]
    behind = [(words[-size:], words[:-size]) for size in _sizes(words)]
    return _at_an_end((*before, *behind), reads)


def _sizes(words: Words) -> range:
    return range(min(len(words), _WORDS_OF_A_DATE), 0, -1)


def _whole(day: Words, rest: Words, reads: ReadsDate) -> Told | None:
    read = reads(day) if day else None
    return Told(read, rest) if isinstance(read, date) else None


def _at_an_end(parted: Sequence[tuple[Words, Words]], reads: ReadsDate) -> Told | None:
    """The longest run of words that may be a date decides: where it may be two, none is taken."""
    for run, rest in parted:
        read = reads(run)
        if isinstance(read, date):
            return None if _may_tell_of_a_day(rest, reads) else Told(read, rest)
        if _may_be_a_day(read):
            return None
    return None


def _may_tell_of_a_day(rest: Words, reads: ReadsDate) -> bool:
    """Another day, or a part of this one: of 03 28 26 D4417 neither end is the expiry."""
    ends = {*rest[:1], *rest[-1:]}
    return bool(rest) and (_may_be_a_day(reads(rest)) or any(map(_PART_OF_A_DATE.fullmatch, ends)))


def _may_be_a_day(read: date | NotUnderstood) -> bool:
    return isinstance(read, date) or bool(read.dates) or read.hint == "far"

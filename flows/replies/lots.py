"""A lot as printed on a label: 'D4417', 'lot no D 4417'; what may be more is asked back."""

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date

from flows.replies import NotUnderstood
from flows.replies.amounts import is_volume
from flows.replies.dates import printed_date
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold, tidy

NAMED = "LOT"
"""Written before one word, that word is the lot, whatever else it looks like."""
SHORTEST, LONGEST = 2, 12

_NAMES_IT = frozenset({NAMED, "BATCH", "BN", "LN"})
"""Batch number, lot number: before a lot on its label. SN is a serial number, which is none."""
_IDENTIFIER = "10"
"""In brackets it stands before a lot. Source: GS1 General Specifications, application identifier
10 (from memory)."""
_AROUND = (
    POLITE
    | _NAMES_IT
    | {"NUMBER", "NO", "NR", "IT", "ITS", "IT'S", "IS", "THE", "THIS", "THAT", "THATS", "THAT'S"}
)
"""What people say around a lot, at either end, that is no part of it."""
_DENIES = frozenset({"NO"})
"""Before a lot it is its number; behind it, it takes that back."""
_SMALL_WORDS = frozenset(
    {"AH", "AM", "AN", "AS", "AT", "BE", "BY", "DO", "ER", "GO", "HE", "HI", "IF", "IN"}
    | {"ME", "MY", "OF", "OH", "ON", "OR", "SN", "SO", "TO", "UH", "UM", "UP", "US", "WE"}
)
"""Two letters that stand before figures in a sentence rather than in a lot."""
_MOST_LETTERS = 2
_SHORT_FOR_LOT = "L"
"""Where a recall looks for a lot it is the same with it and without: L D4417."""
_MOST_OF_A_PART = 3
"""Signs of one part beside another with a figure; more may be a lot by themselves, or a year."""
_LOOK_ALIKE = str.maketrans("OIL", "011")
_WORDS_OF_A_DATE = 3
_A_MONTH_AT_MOST = re.compile("[0-9]{1,4}")
_YEAR = re.compile("20[0-9]{2}")
_NOT_READ = "?*_"
"""What people type for a sign that they cannot read."""
_SEPARATORS = re.compile("[-/.,:;_#*+&()]")

Expiries = Callable[[Sequence[str]], tuple[date, ...]]
"""The days still to come that words may mean, as an expiry."""


def printed_lot(typed: Typed, taken: Collection[str], expiries: Expiries) -> str | NotUnderstood:
    """Read a lot: letters and figures, one figure at least, its parts put together.

    Its parts have a figure each; before them may stand one or two letters alone, behind them one,
    as in D 44 17 B. No part may be a lot by itself, nor a date, a tag or a count, and no sign may
    have been between them. Any other word beside it, a volume, one of the names *taken* here or
    a date still to come may have been meant for something else, and a lot misread is never
    recalled: it is asked back, with what may be the lot in `near`. How lots look: common
    practice, no source.
    """
    said, is_named = _core(_without_its_identifier(typed))
    if not any(map(_has_a_figure, said)):
        return NotUnderstood("word")
    is_whole = not typed.asks and _stands_as_read(typed, said)
    if is_named and len(said) == 1 and said[0] not in taken and is_whole:
        return _fitting(said[0], 1)
    run, days = next(_dates(said, expiries), ((), ()))
    if days:
        return _beside_a_date(said, run, days, taken)
    if not is_whole or not _is_in_parts(said, taken):
        return _which(said, taken)
    return _fitting("".join(said), 1 if is_named else SHORTEST)


def _without_its_identifier(typed: Typed) -> tuple[str, ...]:
    """(10) D4417 and (10)D4417 as LOT D4417."""
    first, *rest = typed.words or ("",)
    before = f"({_IDENTIFIER})"
    if before not in typed.text:
        return typed.words
    if first == _IDENTIFIER:
        return (NAMED, *rest)
    glued = before[1:]
    return (NAMED, first.removeprefix(glued), *rest) if first.startswith(glued) else typed.words


def _stands_as_read(typed: Typed, said: Sequence[str]) -> bool:
    """Only blanks between its parts, and no sign beside them that stands for one not read."""
    text, run = fold(typed.text), r"\s+".join(map(re.escape, said))
    found = re.search(rf"(?<!\w){run}(?!\w)", text)
    if found is None:
        return False
    around = (text[: found.start()].rstrip()[-1:], text[found.end() :].lstrip()[:1])
    return not any(each and each in _NOT_READ for each in around)


def _core(words: Sequence[str]) -> tuple[tuple[str, ...], bool]:
    """What stands between the words said around it, and whether it was named as the lot."""
    said = list(words)
    is_named = False
    while said and said[0] in _AROUND:
        is_named |= said.pop(0) in _NAMES_IT
    while said and said[-1] in _AROUND - _DENIES:
        said.pop()
    return tuple(said), is_named


def _is_in_parts(said: Sequence[str], taken: Collection[str]) -> bool:
    parts = list(said)
    if parts[0].isalpha() and len(parts[0]) <= _MOST_LETTERS and parts[0] not in _SMALL_WORDS:
        parts.pop(0)
    ends = "".join(parts[-2:])
    if parts[-1].isalpha() and len(parts[-1]) == 1 and not is_volume(ends):
        parts.pop()
    if not all(_is_a_part(each, taken) for each in parts):
        return False
    return len(said) == 1 or _are_no_more(said, parts, taken)


def _are_no_more(said: Sequence[str], parts: Sequence[str], taken: Collection[str]) -> bool:
    """Whether the parts can be nothing but parts: D 4417, AB 44 17, 44 17B; not D44 K20."""
    whole = "".join(said)
    if whole in taken or any(map(TAG.fullmatch, (whole, *parts))):
        return False
    if any(_dates(said, _any_days)) or any(map(_YEAR.fullmatch, parts)):
        return False
    first = said[1] if said[0] == _SHORT_FOR_LOT else said[0]
    if not all(each == first or each[0].isdecimal() for each in parts):
        return False
    if len(parts) == 1:
        are_figures = parts[0].translate(_LOOK_ALIKE).isdecimal()
        return are_figures or len(parts[0]) <= _MOST_OF_A_PART or said[-1] == first
    return all(1 < len(each) <= _MOST_OF_A_PART for each in parts)


def _any_days(words: Sequence[str]) -> tuple[date, ...]:
    """The days that words may mean, those long past too: made 260101.

    Four figures in one are a month of any year, and behind a letter the commonest of all lots.
    """
    if len(words) == 1 and _A_MONTH_AT_MOST.fullmatch(words[0]):
        return ()
    read = printed_date(tidy(" ".join(words)))
    return read.dates if isinstance(read, NotUnderstood) else (read,)


def _is_a_part(word: str, taken: Collection[str]) -> bool:
    plain = word.isascii() and word.isalnum() and word not in taken
    return plain and _has_a_figure(word) and not is_volume(word)


def is_lot(word: str, shortest: int = 1) -> bool:
    """Whether *word* may be one: plain letters and figures, `LONGEST` at most, a figure at least.

    Without a figure it is a word said in its place. Common practice, no source.
    """
    fits = word.isascii() and word.isalnum() and shortest <= len(word) <= LONGEST
    return fits and _has_a_figure(word)


def _fitting(lot: str, shortest: int) -> str | NotUnderstood:
    return lot if is_lot(lot, shortest) else NotUnderstood("word")


def _has_a_figure(word: str) -> bool:
    return any(each.isdecimal() for each in word)


def _dates(
    said: Sequence[str], expiries: Expiries
) -> Iterator[tuple[tuple[str, ...], tuple[date, ...]]]:
    """Words next to each other that may be a date still to come; the longest first."""
    said = said[:LONGEST]  # of more words it is no lot in any case
    for size in range(min(len(said), _WORDS_OF_A_DATE), 0, -1):
        for at in range(len(said) - size + 1):
            run = tuple(said[at : at + size])
            days = expiries(run) if any(map(_has_a_figure, run)) else ()
            if days:
                yield run, days


def _beside_a_date(
    said: Sequence[str], run: Sequence[str], days: tuple[date, ...], taken: Collection[str]
) -> NotUnderstood:
    others = [each for each in said if each not in run and _is_a_part(each, taken)]
    if others:
        return _asked(NotUnderstood("ambiguous", near=others[0], dates=days))
    return _asked(NotUnderstood("ambiguous", near="".join(run)))


def _which(said: Sequence[str], taken: Collection[str]) -> NotUnderstood:
    """What may be the lot among other words; a name that is used here is none."""
    run, _ = next(_dates(said, _any_days), ((), ()))
    likely = [each for each in said if _is_a_part(each, taken)]
    likelier = [each for each in likely if each not in run and not TAG.fullmatch(each)]
    figured = likelier or likely or [each for each in said if _has_a_figure(each)]
    if figured[0] in taken:
        return NotUnderstood("taken", near=figured[0])
    return _asked(NotUnderstood("lot", near=figured[0]))


def _asked(about: NotUnderstood) -> NotUnderstood:
    """Only what could be sent back as it is asked about."""
    near = _SEPARATORS.sub("", about.near)
    is_lot = isinstance(_fitting(near, 1), str)
    return NotUnderstood(about.hint, near=near, dates=about.dates) if is_lot else _TOO_LONG


_TOO_LONG = NotUnderstood("word")

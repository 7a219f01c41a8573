"""270331, 31/03/27, 03/27, '31 mar 27'; ambiguous is asked back."""

import re
from calendar import monthrange
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Literal

from flows.replies import NotUnderstood
from flows.replies.choice import nearest
from flows.replies.typed import POLITE, Typed, fold

Order = Literal["dmy", "mdy"]

ENGLISH_MONTHS: Mapping[str, int] = {
    "January": 1,
    "February": 2,
    "March": 3,
    "April": 4,
    "May": 5,
    "June": 6,
    "July": 7,
    "August": 8,
    "September": 9,
    "October": 10,
    "November": 11,
    "December": 12,
}

_AROUND = POLITE | frozenset(
    {"EXP", "EXPIRY", "EXPIRES", "DATE", "USE", "BEST", "BBE", "BY", "BEFORE", "ON", "OF", "THE"}
    | {"END", "IT", "ITS", "IS", "SAYS"}
)
_ORDINALS = frozenset({"ST", "ND", "RD", "TH"})
_PIECE = re.compile(r"[0-9]+|[^\s0-9./,'*#:;_|\\-]+")
_WITH_O = re.compile(r"(?<![^\W_])(?=O*[0-9])[0-9O]+(?![^\W_])")
_WELL_FORMED = re.compile(r"(?:[0-9]{2}|[0-9]{4})-[0-9]{1,2}-[0-9]{0,2}")
_SHORTEST_MONTH = 3
_THREE = 3
_WRITTEN_YEAR = 4
_FOUR, _SIX, _EIGHT = 4, 6, 8
_CENTURY = range(2000, 2100)
_YEARS_ON_A_SHELF = 5
"""How long what is out of date may still stand about: common practice, no source."""
_YEARS_AHEAD = 2
"""How far ahead what is opened now is dated: OPA keeps for 2 years unopened.
Source: CDC/HICPAC 2008, Table 4; of other products from memory."""
_MONTHS = range(1, 13)
_DAYS_OF_SOME = range(29, 32)
"""Days that not every month has."""

_Written = tuple[str, str, str]
"""Year, month and day as digits; no day means the last of the month."""


def printed_date(
    typed: Typed,
    order: Order | None = None,
    months: Mapping[str, int] = ENGLISH_MONTHS,
    *,
    day_needed: bool = False,
    today: date | None = None,
) -> date | NotUnderstood:
    """Read a date as it is printed on a container: 2000 to 2099, no day means the month's last.

    Six digits are year, month, day, and day 00 is the month's last. Source: GS1 General
    Specifications, application identifier 17 (from memory). `order` is the site's own habit for
    03/04/27; without one, two possible dates come back as ambiguous. With `today`, so does
    310327: what could be read another way as well, which is sooner or has just passed; the other
    way a day too many is the month's last. 260931 is no date: a day too many is a slip of the
    order asked for, and no sign of another order. 03/31 is March, or the 31st of it without a
    year, where 2031 is far ahead; so is 04/05, where 2005 is long over. `day_needed` refuses a
    month alone, for an opening date, where the month's last day would be too kind.
    """
    parts = _parts(typed.words, months) if typed.words else NotUnderstood("empty")
    if isinstance(parts, NotUnderstood):
        return parts
    written = _in_figures(parts, order) or _with_name(parts)
    if isinstance(written, NotUnderstood):
        return written
    if day_needed and not written[0][2]:
        return NotUnderstood("day")
    otherwise = [] if day_needed else _otherwise(parts, order)
    usual = _days(written) or (_days(otherwise) if _in_another_order(parts) else ())
    if not usual:
        return NotUnderstood("no such date", dates=_days(map(_to_its_last, written)))
    possible = _possible(usual, _days(map(_to_its_last, otherwise)), today)
    if today and all(_lacks_its_year(parts, written, day, today) for day in possible):
        return NotUnderstood("year")
    return NotUnderstood("ambiguous", dates=possible) if len(possible) > 1 else possible[0]


def day_gone_by(
    typed: Typed, order: Order | None = None, *, since: date, today: date
) -> date | NotUnderstood:
    """A whole day on which something was done; ambiguous where only another order makes it lately.

    Lately is after *since*, and no later than *today*. Of years ago by two figures is a slip as
    well: 050326 is 5 March with the day first, be that still to come, rather than of 2005.
    """
    read, parts = printed_date(typed, order, day_needed=True), _parts(typed.words, ENGLISH_MONTHS)
    if (
        isinstance(read, NotUnderstood)
        or isinstance(parts, NotUnderstood)
        or since < read <= today
    ):
        return read
    others = _days(each for each in _otherwise(parts, order) if each[2])
    is_long_ago = read.year < today.year - _YEARS_ON_A_SHELF
    lately = [day for day in others if since < day <= today or (is_long_ago and read < day)]
    return NotUnderstood("ambiguous", dates=(read, *lately)) if lately else read


def _possible(
    usual: tuple[date, ...], rivals: tuple[date, ...], today: date | None
) -> tuple[date, ...]:
    """S5: the usual readings, and beside them whatever would make it end sooner, or ended already.

    What is over as usually read is good only as it is read otherwise.
    """
    if today is None:
        return usual
    first = usual[0]
    if first < today:
        other = [day for day in rivals if today <= day]
    else:
        oldest = today.year - _YEARS_ON_A_SHELF
        other = [day for day in rivals if day < first and oldest <= day.year]
    return _likeliest(tuple(dict.fromkeys((*usual, *other))), today)


def _likeliest(possible: tuple[date, ...], today: date) -> tuple[date, ...]:
    """Of three readings the one long over is left out, and the soonest is named first."""
    if len(possible) < _THREE:
        return possible
    oldest = today.year - _YEARS_ON_A_SHELF
    return tuple(sorted(day for day in possible if oldest <= day.year))


def _lacks_its_year(
    parts: Sequence[str | int], written: Sequence[_Written], day: date, today: date
) -> bool:
    """MAR 31, 03/31 and 0331: the 31st of March, rather than the March of a year far ahead.

    Nor does anybody open what was over long ago: 04/05 lacks its year, and 10 11 12 tells none.
    What is written as it was asked for, or with its month's name, tells it.
    """
    if any(len(each[0]) == _WRITTEN_YEAR for each in written):
        return False
    is_month = not any(each[2] for each in written)
    if day.year > today.year + _YEARS_AHEAD:
        return is_month and day.year - _CENTURY.start <= _DAYS_OF_SOME[-1]
    in_figures_apart = len(parts) > 1 and all(isinstance(part, str) for part in parts)
    return day.year < today.year - _YEARS_ON_A_SHELF and (is_month or in_figures_apart)


def _in_another_order(parts: Sequence[str | int]) -> bool:
    """Only figures without a break, and with no month where it was asked for: 202703, 033127."""
    return len(parts) == 1 and int(str(parts[0])[2:4] or 0) not in _MONTHS


def _days(written: Iterable[_Written]) -> tuple[date, ...]:
    return tuple(dict.fromkeys(day for day in map(_day, written) if day))


def _parts(words: Sequence[str], months: Mapping[str, int]) -> list[str | int] | NotUnderstood:
    """Return figures as text and named months as numbers, in the order typed."""
    parts: list[str | int] = []
    for piece in _PIECE.findall(_WITH_O.sub(_noughts, " ".join(words))):
        if piece.isdecimal():
            parts.append(piece)
        elif piece not in _AROUND | _ORDINALS:
            month = _month(piece, {fold(name): at for name, at in months.items()})
            if isinstance(month, NotUnderstood):
                return month
            parts.append(month)
    return parts


def _noughts(found: re.Match[str]) -> str:
    """An O among figures alone is a nought: 27O331; that of 3OCT27 is October's."""
    return found[0].replace("O", "0")


def _month(piece: str, months: Mapping[str, int]) -> int | NotUnderstood:
    begun = {months[name] for name in months if name.startswith(piece)}
    if len(begun) == 1 and len(piece) >= _SHORTEST_MONTH:
        return begun.pop()
    return NotUnderstood("ambiguous") if len(begun) > 1 else nearest(piece, months)


def _in_figures(parts: Sequence[str | int], order: Order | None) -> list[_Written]:
    match parts:
        case [str(run)]:
            return _run_together(run, order)
        case [str(year), str(month)] if len(year) == _WRITTEN_YEAR:
            return [(year, month, "")]
        case [str(month), str(year)]:
            return [(year, month, "")]
        case [str(year), str(month), str(day)] if len(year) == _WRITTEN_YEAR:
            return [(year, month, day)]
        case [str(first), str(second), str(year)]:
            return _in_order(first, second, year, order)
    return []


def _with_name(parts: Sequence[str | int]) -> list[_Written] | NotUnderstood:
    match parts:
        case [int(month), str(year)]:
            return [(year, str(month), "")]
        case [str(year), int(month)] if len(year) == _WRITTEN_YEAR:
            return [(year, str(month), "")]
        case [str(), int()]:
            return NotUnderstood("year")
        case [str(year), int(month), str(day)] if len(year) == _WRITTEN_YEAR:
            return [(year, str(month), day)]
        case [str(day), int(month), str(year)] | [int(month), str(day), str(year)]:
            return [(year, str(month), day)]
    return NotUnderstood("date")


def _run_together(run: str, order: Order | None) -> list[_Written]:
    if len(run) == _FOUR and int(run) not in _CENTURY:
        return [(run[2:], run[:2], ""), (run[:2], run[2:], "")]
    if len(run) == _SIX:
        return [(run[:2], run[2:4], run[4:].replace("00", ""))]
    if len(run) == _EIGHT:
        # No run of eight is a date both ways: 20 would have to be a month.
        return [(run[:4], run[4:6], run[6:]), *_in_order(run[:2], run[2:4], run[4:], order)]
    return []


def _otherwise(parts: Sequence[str | int], order: Order | None) -> list[_Written]:
    """How else it could be meant: 310327 with the day first; with the year first 27/03/31."""
    match parts:
        case [str(run)] if len(run) == _SIX:
            with_day = _in_order(run[:2], run[2:4], run[4:], order)
            return [*with_day, (run[2:], run[:2], ""), (run[:4], run[4:], "")]
        case [str(year), str() | int() as month, str(day)]:
            return [(year, str(month), day)]
    return []


def _to_its_last(written: _Written) -> _Written:
    """With a day that only its month lacks, or none has, put to the last of it."""
    year, month, day = written
    is_lacking = _day(written) is None and int(day or 0) in {0, *_DAYS_OF_SOME}
    return (year, month, "") if is_lacking else written


def _in_order(first: str, second: str, year: str, order: Order | None) -> list[_Written]:
    written: dict[Order, _Written] = {"dmy": (year, second, first), "mdy": (year, first, second)}
    return [written[order]] if order else list(written.values())


def _day(written: _Written) -> date | None:
    if not _WELL_FORMED.fullmatch("-".join(written)):
        return None
    year, month = int(written[0]), int(written[1])
    if len(written[0]) < _WRITTEN_YEAR:
        year += _CENTURY.start
    if year not in _CENTURY or month not in _MONTHS:
        return None
    last = monthrange(year, month)[1]
    day = int(written[2] or last)
    return date(year, month, day) if 1 <= day <= last else None

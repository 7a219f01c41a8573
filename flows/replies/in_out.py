"""IN 21.5 and OUT 47: the two texts that are evidence of a soak (S2, S17)."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from itertools import pairwise

from flows.replies import NotUnderstood
from flows.replies.choice import few_words, is_one_slip
from flows.replies.numbers import figures, is_figure, one_number, with_noughts
from flows.replies.rough import is_rough
from flows.replies.tags import VESSEL
from flows.replies.temperature import PLAUSIBLE, Reading, reading, unit_of
from flows.replies.typed import POLITE, Typed

_AROUND = (
    POLITE
    | {"ABOUT", "AT", "TEMP", "TEMPERATURE", "BATH", "BELL", "NUMBER", "NR"}
    | {"YES", "DONE", "UNTOUCHED"}
)
"""Words that may stand around the numbers; any other could turn the meaning: IN 5 MIN."""

_LEADS = POLITE | {"YES", "IT", "ITS", "IT'S", "IS"}
_PUT_IT = _LEADS | {"I", "WE", "I'VE", "HAVE", "PUT", "THE", "PROBE"}
_PUT_IT_BACK = _PUT_IT | {"BACK", "STRAIGHT", "UNTOUCHED", "AND"}
"""What may stand before IN where it is to go back in."""
_IS_BACK = frozenset({"BACK", "UNTOUCHED"})
_WITH_ITS_NUMBER = frozenset({"YES", "IT", "ITS", "IS", "OF", "LATE", "DONE"})
_LATE_OR_AT = re.compile(r"\b[0-9]{1,2} ?(?:MIN|MINS|MINUTES?) LATE\b|\b[0-9]{1,2}:[0-9]{2}\b")
_CLOCK = re.compile("([0-9]{1,2}):([0-9]{2})")
_CLOCK_BEHIND_AT = re.compile("([0-9]{1,2})[.:H]?([0-5][0-9])")
_WITH_A_POINT = re.compile("[0-9]{1,2}[.,][0-5][0-9]")
_NO_BATH = 15
"""What no bath by a sink has in C, and the clock does. Source: common practice."""
_AS_ASKED = re.compile(
    r" (?:(?:AND|WITH) )?(?:(?:SET|MY|OWN|THE) )*TIMER(?: IS)?(?: SET| ON| STARTED| RUNNING)?(?= )"
    r"| (?:AND )?(?:LID(?: IS)? ON|TO THE LINE|NO BUBBLES|(?:FULLY|ALL) UNDER)(?= )"
)
_HALF_A_DIAL = 6 * 60
"""Minutes."""
_TWO_DIGITS = re.compile("[0-9]{2}")
_OUT_OF_IT = re.compile(f"THE|ITS?|BATH|TUB|LIQUID|THERE|{VESSEL.pattern}")
"""What a probe comes out of; of anything else something is lacking."""


@dataclass(frozen=True, slots=True)
class InReply:
    """The device went in: the bell number, where one was asked for, and the bath."""

    number: int | None
    reading: Reading


@dataclass(frozen=True, slots=True)
class OutReply:
    """The device came out; nothing that is unclear beside it can undo that."""

    number: int | None = None
    reading: Reading | None = None
    doubt: NotUnderstood | None = None
    """What else was typed and could not be taken: the bell number or the temperature."""
    without_unit: Decimal | None = None
    """Of a temperature that may be in C or in F, the figure as typed."""


def read_in(
    typed: Typed,
    number_expected: int | None = None,
    plausible: tuple[Decimal, Decimal] = PLAUSIBLE,
) -> InReply | NotUnderstood:
    """S2, S17: IN with the bath's temperature, and with the open bell number if there is one.

    Bell numbers have two digits. Their order is forgiven where one of them is the open one.
    """
    words = words_after("IN", typed)
    if isinstance(words, NotUnderstood):
        return words
    words = _without_what_was_asked(words)
    if _strange(words):
        return NotUnderstood("word")
    if number_expected is not None:
        if f"{number_expected:02d}" not in words:
            return NotUnderstood(_number_missing(words))
        words = _without(words, f"{number_expected:02d}")
    if not figures(words):
        return NotUnderstood("temperature")
    bath = _as_shown(typed, words, plausible)
    return bath if isinstance(bath, NotUnderstood) else InReply(number_expected, bath)


def read_out(
    typed: Typed,
    number_expected: int | None = None,
    plausible: tuple[Decimal, Decimal] = PLAUSIBLE,
) -> OutReply | NotUnderstood:
    """S2, S3: OUT, the bell number if typed, the bath's temperature if typed.

    Bell numbers have two digits. Whether the number is the right one is the rule's to say;
    `number_expected` only tells it from a temperature that was typed first.
    """
    words = words_after("OUT", typed)
    if isinstance(words, NotUnderstood):
        return words
    words = _let_be(words, number_expected)
    if _strange(words):
        return OutReply(doubt=NotUnderstood("word"))
    bells = [word for word in _plain_numbers(words) if _TWO_DIGITS.fullmatch(word)]
    if not bells:
        return _out_without_number(typed, words, plausible)
    expected = "" if number_expected is None else f"{number_expected:02d}"
    bell = expected if expected in bells else bells[0]
    return _with_reading(int(bell), typed, _without(words, bell), plausible)


def from_in(typed: Typed, *, back: bool) -> Typed:
    """I PUT IT IN 23, and UNTOUCHED, BACK IN 92 22 where that is asked, from IN on.

    With a tag before IN something else was put in. UNTOUCHED alone is an IN that lacks the rest.
    """
    if back and _PUT_IT_BACK.issuperset(typed.words) and not _IS_BACK.isdisjoint(typed.words):
        return replace(typed, words=("IN",))
    at = typed.words.index("IN") if "IN" in typed.words else 0
    leads = _PUT_IT_BACK if back else _PUT_IT
    is_led = leads.issuperset(typed.words[:at]) and typed.words[:1] != ("IS",)
    return typed.after(at) if is_led else typed


def says_out(typed: Typed) -> bool:
    """S3: whether a text says that it came out, however little else is clear.

    OUT OF STRIPS or OUT OF ORDER says of no probe that it came out.
    """
    return isinstance(read_out(typed), OutReply) and not tells_of_a_lack(typed)


def tells_of_a_lack(typed: Typed) -> bool:
    """OUT OF TOWELS, OUT FOR LUNCH."""
    after = typed.words[typed.words.index("OUT") + 1 :][:2] if "OUT" in typed.words else ()
    is_of_it = any(map(_OUT_OF_IT.fullmatch, after[1:]))
    return after[:1] == ("FOR",) or (after[:1] == ("OF",) and not is_of_it)


def words_after(keyword: str, typed: Typed) -> tuple[str, ...] | NotUnderstood:
    """Return what follows the keyword, which comes first, glued to a number or not."""
    if not typed.words:
        return NotUnderstood("empty")
    if typed.asks or typed.asks_first:
        return NotUnderstood("question")
    said = _from_the_word(keyword, typed.words)
    first, rest = said[0], tuple(map(with_noughts, said[1:]))
    if first == keyword:
        return rest
    glued = re.fullmatch(rf"{keyword}[^\w\u00b0]*([0-9].*)", first)
    if glued:
        return (glued[1], *rest)
    if few_words(typed) and is_one_slip(re.sub(r"[\W\d_]+$", "", first), keyword):
        return NotUnderstood("near", near=keyword)
    return NotUnderstood("word")


def _from_the_word(keyword: str, words: tuple[str, ...]) -> tuple[str, ...]:
    """YES IN 23 and IT IS OUT 95 from the word on; IS IT OUT asks."""
    at = words.index(keyword) if keyword in words else 0
    return words[at:] if _LEADS.issuperset(words[:at]) and words[0] != "IS" else words


def _let_be(words: tuple[str, ...], number: int | None) -> tuple[str, ...]:
    """S2: beside the right number YES, LATE, 2 MIN LATE and 9:34 change nothing: it was heard."""
    bell = "" if number is None else f"{number:02d}"
    if not bell or bell not in words:
        return words
    said = _LATE_OR_AT.sub(" ", " ".join(words))
    said = re.sub(rf"\bNO (?={bell}\b)", "", said)
    return tuple(word for word in said.split() if word not in _WITH_ITS_NUMBER)


def tells_a_time_before(typed: Typed, due: datetime) -> bool:
    """S3: OUT 95 12:10 of a soak that was *due* at 12:22, in local time: it came out early.

    1:05 may be said of 13:05: what lies nearer is meant. So may AT 12.10 or AT 1210.
    """
    pairs = pairwise(("", *typed.words))
    times = (
        (_CLOCK_BEHIND_AT if before == "AT" else _CLOCK).fullmatch(word) for before, word in pairs
    )
    least = due.hour * 60 + due.minute
    since = (int(each[1]) * 60 + int(each[2]) - least for each in times if each)
    return any((each + _HALF_A_DIAL) % (2 * _HALF_A_DIAL) < _HALF_A_DIAL for each in since)


def _without_what_was_asked(words: Sequence[str]) -> tuple[str, ...]:
    """IN 23, TO THE LINE, NO BUBBLES, TIMER ON: so it was asked for."""
    return tuple(_AS_ASKED.sub(" ", f" {' '.join(words)} ").split())


def _strange(words: Sequence[str]) -> bool:
    return any(
        word not in _AROUND and not is_figure(word) and unit_of(word) is None for word in words
    )


def _number_missing(words: Sequence[str]) -> str:
    has_another = any(map(_TWO_DIGITS.fullmatch, words)) and len(figures(words)) > 1
    return "wrong number" if has_another else "bell number"


def _plain_numbers(words: Sequence[str]) -> list[str]:
    """Return the whole numbers that no unit follows."""
    return [
        word
        for word, after in pairwise([*words, ""])
        if re.fullmatch("[0-9]+", word) and not unit_of(after)
    ]


def _without(words: Sequence[str], number: str) -> tuple[str, ...]:
    at = words.index(number)
    return (*words[:at], *words[at + 1 :])


def _as_shown(
    typed: Typed, words: Sequence[str], plausible: tuple[Decimal, Decimal]
) -> Reading | NotUnderstood:
    """S17: <20 and ABOUT 20 are held to no limit: what the thermometer shows is asked for."""
    return NotUnderstood("rough") if is_rough(typed, words) else reading(words, plausible)


def _may_be_a_time(words: Sequence[str]) -> bool:
    """S17: AT 12.18, AT 9 and 12.18 are rather the clock's than a bath's; 21.50 is a bath's."""
    return any(
        (before == "AT" and (cold or _WITH_A_POINT.fullmatch(word)))
        or (cold and _WITH_A_POINT.fullmatch(word))
        for before, word in pairwise(("", *words))
        for each in figures([word])
        for cold in [isinstance(each.value, Decimal) and each.value < _NO_BATH]
    )


def _out_without_number(
    typed: Typed, words: Sequence[str], plausible: tuple[Decimal, Decimal]
) -> OutReply:
    if _plain_numbers(words):
        return OutReply(doubt=NotUnderstood("bell number"))
    return _with_reading(None, typed, words, plausible)


def _with_reading(
    number: int | None, typed: Typed, words: Sequence[str], plausible: tuple[Decimal, Decimal]
) -> OutReply:
    if not figures(words):
        return OutReply(number)
    if _may_be_a_time(words):
        return OutReply(number, None, NotUnderstood("ambiguous"))
    bath = _as_shown(typed, words, plausible)
    if isinstance(bath, NotUnderstood):
        figure = one_number(figures(words)) if bath.value is not None else None
        return OutReply(number, None, bath, figure if isinstance(figure, Decimal) else None)
    return OutReply(number, bath)


def read_owed(
    typed: Typed, number: int, without_unit: str, plausible: tuple[Decimal, Decimal] = PLAUSIBLE
) -> Reading | NotUnderstood:
    """S17: 21.5 C where only that is owed; or C, or F, behind what was typed *without_unit*.

    The bell number is left out; alone it is no temperature, whatever stands behind it.
    """
    words = tuple(word for word in map(with_noughts, typed.words) if word not in _AROUND)
    if is_rough(typed, (word for word in typed.words if word != f"{number:02d}")):
        return NotUnderstood("rough")
    if typed.asks or not words or _strange(words):
        return NotUnderstood("word")
    bell = f"{number:02d}"
    if bell in words:
        words = _without(words, bell)
        return reading(words, plausible) if figures(words) else NotUnderstood("ambiguous")
    if figures(words):
        return reading(words, plausible)
    return reading((without_unit, *words), plausible) if without_unit else NotUnderstood("number")

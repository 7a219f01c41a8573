"""PLAN 12, PLAN 12 2, PLAN 12 people 2 exam 5: how many of what, each number with its own word."""

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from flows.replies import NotUnderstood
from flows.replies.numbers import IN_WORDS, figures, is_figure
from flows.replies.typed import POLITE, Typed

PATIENTS, PROBES, BATHS, PEOPLE = "patients", "probes", "baths", "people"
TUBS, MINUTES = "tubs", "minutes"
BARE = (PATIENTS, PROBES)
"""What numbers without a word count, in their order."""

SHORTEST = 3
"""Letters from which a word is known: PEO, PROBE."""

_WEEKDAYS = ("MONDAY", "TUESDAY", "WEDNESDAY", "THURSDAY", "FRIDAY", "SATURDAY", "SUNDAY")
_OTHER_DAYS = frozenset({"WEDS", "NEXT", "AFTER", "WEEK", "WEEKEND", "YESTERDAY"})
"""The day after tomorrow, next week: no word of a plan for today or tomorrow."""

_OF_HOURS = frozenset(
    {"BY", "UNTIL", "TILL", "TIL", "BEFORE", "AM", "PM", "NOON", "OCLOCK", "O'CLOCK"}
    | {"MORNING", "AFTERNOON", "EVENING", "TONIGHT", "NIGHT"}
)
_A_TIME = re.compile("[0-9]{1,2}(?:[:.][0-9]{2})?[AP]M|[0-9]{1,2}[:H][0-9]{2}")

_WITH_NOUGHTS = re.compile("[0-9][0-9O]*")

_TOMORROW = frozenset({"TMRW", "TMW", "TMR", "TOMOROW", "TOMMOROW", "TOMMORROW"})
_ALSO_CALLED: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(("PT", "PTS", "WOMAN", "WOMEN", "LADIES", "CLIENTS"), PATIENTS)
    | dict.fromkeys(("PERSON", "PERSONS", "NURSE", "NURSES", "STAFF", "WORKERS"), PEOPLE)
    | {"EXAMS": MINUTES}
)
_MEANS_NOTHING = frozenset(
    {"FOR", "WITH", "AND", "THE", "ON", "OF", "TO", "TODAY", "DAY", "REST", "MORE", "EACH"}
    | {"WE", "I", "ME", "HAVE", "CAN", "DO", "ONLY", "JUST", *POLITE}
)
"""What people say beside a number that changes nothing about the plan."""

_UNIT = "min"
_MINUTE_IS_WRITTEN = frozenset({"MIN", "MINS", "MINUTE", "MINUTES"})
"""By itself it says what the number counts; beside the word for an exam it says nothing more."""


def planned_for(typed: Typed, names: Mapping[str, str]) -> Mapping[str, int] | NotUnderstood:
    """How many of each; *names* says which word counts what.

    A word stands before its number or behind it, the same way throughout: 12 patients 2 people,
    or 12 people 2. A word that is not known may be a day, a device or a product: it is handed
    back as `near`.
    """
    words = [_in_figures(word) for word in typed.words if word not in _MEANS_NOTHING]
    strange = [word for word in words if _is_strange(word, names)]
    if strange:
        return NotUnderstood("word", near=strange[0])
    numbers = [_is_whole(word) for word in words if is_figure(word)]
    if not any(numbers):
        return NotUnderstood("number")
    pairs = _paired(_tokens(words, names)) if all(numbers) else None
    counted = _counted(pairs) if pairs else None
    if counted is None:
        return NotUnderstood("ambiguous")
    return counted if PATIENTS in counted else NotUnderstood("number")


def means_tomorrow(words: Sequence[str], tomorrow: str) -> list[str]:
    """Those that say *tomorrow*: written out or begun, as TOM, or as people shorten it."""
    return [
        word
        for word in words
        if word in _TOMORROW or (len(word) >= SHORTEST and tomorrow.startswith(word))
    ]


def is_of_another_day(words: Sequence[str]) -> bool:
    """Whether a word names another day than today or tomorrow, written out or begun: FRI."""
    return any(word in _OTHER_DAYS or _is_weekday(word) for word in words)


def _is_weekday(word: str) -> bool:
    return len(word) >= SHORTEST and any(day.startswith(word) for day in _WEEKDAYS)


def says_hours(words: Sequence[str]) -> bool:
    """Whether a time of day is meant: 3PM, 15:00, UNTIL NOON."""
    return any(word in _OF_HOURS or _A_TIME.fullmatch(word) for word in words)


def _in_figures(word: str) -> str:
    """TWELVE is 12; 1O is 10: no plan counts degrees."""
    word = IN_WORDS.get(word, word)
    return word.replace("O", "0") if _WITH_NOUGHTS.fullmatch(word) else word


def _is_strange(word: str, names: Mapping[str, str]) -> bool:
    if not is_figure(word):
        return not _kind(word, names)
    (figure,) = figures([word])
    return bool(figure.unit) and not _kind(figure.unit, names)


def _tokens(words: Sequence[str], names: Mapping[str, str]) -> list[int | str]:
    """Each number, and what each word counts."""
    tokens: list[int | str] = []
    for word in words:
        if not is_figure(word):
            tokens.append(_kind(word, names))
            continue
        (figure,) = figures([word])
        tokens.append(int(figure.digits))
        tokens += [_kind(figure.unit, names)] if figure.unit else []
    return [MINUTES if each == _UNIT else each for each in _without_units(tokens)]


def _without_units(tokens: Sequence[int | str]) -> list[int | str]:
    """Exam 5 min, or 5 min exam: the unit is not a second word."""
    around = zip(("", "", *tokens), tokens, (*tokens[1:], ""), strict=False)
    return [
        token
        for before, token, after in around
        if token != _UNIT or MINUTES not in {before, after}
    ]


def _is_whole(word: str) -> bool:
    return figures([word])[0].digits.isdecimal()


def _kind(word: str, names: Mapping[str, str]) -> str:
    """What it counts, or that it is a unit; nothing for a word that is not known."""
    if word in _MINUTE_IS_WRITTEN:
        return _UNIT
    if word in _ALSO_CALLED:
        return _ALSO_CALLED[word]
    begun = [kind for name, kind in names.items() if name.startswith(word)]
    return begun[0] if len(word) >= SHORTEST and begun else ""


def _paired(tokens: Sequence[int | str]) -> list[tuple[str, int]] | None:
    """Each number with its word, before it or behind it; None for a word without a number."""
    if tokens and isinstance(tokens[-1], int):
        return _with_word_before(tokens)
    pairs = _with_word_before(tokens[::-1])
    return pairs and pairs[::-1]


def _with_word_before(tokens: Sequence[int | str]) -> list[tuple[str, int]] | None:
    pairs: list[tuple[str, int]] = []
    waiting = ""
    for token in tokens:
        if isinstance(token, int):
            pairs.append((waiting, token))
            waiting = ""
        elif waiting:
            return None
        else:
            waiting = token
    return None if waiting else pairs


def _counted(pairs: Sequence[tuple[str, int]]) -> Mapping[str, int] | None:
    counted = {kind: number for kind, number in pairs if kind}
    bare = [number for kind, number in pairs if not kind]
    is_twice = len(counted) + len(bare) != len(pairs) or not counted.keys().isdisjoint(
        BARE[: len(bare)]
    )
    if is_twice or len(bare) > len(BARE):
        return None
    return counted | dict(zip(BARE, bare, strict=False))

"""A code, not a name (S16)."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from flows.replies import NotUnderstood
from flows.replies.denied import DENIES
from flows.replies.typed import POLITE, TAKES_BACK, Typed

_CHARACTERS = range(3, 11)
_FEWEST_DIGITS = 3
_MOST_LETTERS = 2
_FIGURES = re.compile("[0-9]{3,10}")
_BEFORE_A_CODE = frozenset({"NO", "NR", "NUM", "NUMBER", "PT", "PAT", "PATIENT", "ID", "CODE"})
_BEGINS = frozenset({"IT", "IT'S", "ITS", "IS", "ON", "FOR", "WITH"})
_SMALL_WORDS = frozenset(
    {"IT", "IS", "ON", "IN", "AT", "BY", "TO", "OF", "UP", "SO", "AS", "IF"}
    | {"AM", "PM", "DR", "MR", "MS", "SR", "PT", "MY", "ME", "WE", "HE"}
)
"""Words as short as the letters of a code, that are no part of one."""

_TAKES_BACK = TAKES_BACK | DENIES | {"OR", "MAYBE", "UNSURE"}
_BETWEEN = re.compile(r"[,;&+]")


@dataclass(frozen=True, slots=True)
class PatientCode:
    """A clinic's own number for a patient."""

    code: str


def patient_code(words: Sequence[str]) -> PatientCode | NotUnderstood:
    """S16: a code has 3 to 10 characters, 3 digits or more, 2 letters or fewer; else a name.

    Source: common practice, none published.
    """
    if not words:
        return NotUnderstood("empty")
    if sum(_figures_in(word) > 0 for word in words) > 1:
        return NotUnderstood("name")
    code = _joined(words)
    letters = re.sub("[0-9]", "", code)
    fits = (
        re.fullmatch("[A-Z0-9]+", code)
        and len(code) in _CHARACTERS
        and len(code) - len(letters) >= _FEWEST_DIGITS
        and len(letters) <= _MOST_LETTERS
    )
    return PatientCode(code) if fits else NotUnderstood("name")


def patient_codes(typed: Typed) -> tuple[PatientCode, ...] | NotUnderstood:
    """S16: read several codes, each once, in the order typed; one name spoils the list."""
    pieces = [piece for word in typed.words for piece in _BETWEEN.split(word)]
    words = bare_code([piece for piece in pieces if piece and piece != "AND"])
    if isinstance(single := patient_code(words), PatientCode):
        return (single,)
    codes = [patient_code([word]) for word in words]
    read = [code for code in codes if isinstance(code, PatientCode)]
    if not words or len(read) < len(words):
        return single
    return tuple(dict.fromkeys(read))


def codes_told(typed: Typed) -> tuple[PatientCode, ...] | NotUnderstood:
    """S16: the same behind USED V1, where a remark may follow the one plain code: 0412 BY ANN.

    Not where anything may take it back, or might be a second code.
    """
    codes = patient_codes(typed)
    words = bare_code(typed.words)
    if not isinstance(codes, NotUnderstood) or typed.asks or not words:
        return codes
    first, *remark = words
    is_clear = _FIGURES.fullmatch(first) and _TAKES_BACK.isdisjoint(remark)
    others = [word for word in remark if _figures_in(word) >= _FEWEST_DIGITS and ":" not in word]
    is_plain = is_clear and not others and not _may_be_of_the_code(remark[0])
    return (PatientCode(first),) if is_plain else codes


def _may_be_of_the_code(word: str) -> bool:
    """0412 B, 0412 13: the rest of it, or the first of a remark; T1 is a name."""
    is_name = word[0].isalpha() and word[-1].isdecimal()
    return len(word) <= _MOST_LETTERS and word not in _SMALL_WORDS and not is_name


def bare_code(words: Sequence[str]) -> list[str]:
    """CODE 0412 and PT 0412 THANKS without what stands around it: S16 looks it up by itself."""
    kept: list[str] = []
    for word in reversed([word for word in words if word not in POLITE] or words):
        if word not in _BEFORE_A_CODE or not kept or not _FIGURES.fullmatch(kept[-1]):
            kept.append(word)
    while len(kept) > 1 and kept[-1] in _BEGINS:
        kept.pop()
    return kept[::-1]


def _figures_in(word: str) -> int:
    return sum(letter.isdecimal() for letter in word)


def _joined(words: Sequence[str]) -> str:
    """Join A-0412, A 0412 and 0412-B; two numbers are two patients and never joined.

    What stands apart behind the figures may be any short word, as in 0412 IT FELL.
    """
    whole = re.sub("^([A-Z]) (?=[0-9])", r"\1-", " ".join(words))
    return re.sub(r"(?<=[A-Z])-(?=[0-9])|(?<=[0-9])-(?=[A-Z])", "", whole)

"""A code, not a name (S16)."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from flows.replies import NotUnderstood
from flows.replies.typed import Typed

_CHARACTERS = range(3, 11)
_FEWEST_DIGITS = 3
_MOST_LETTERS = 2
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
    words = [piece for piece in pieces if piece and piece != "AND"]
    if isinstance(single := patient_code(words), PatientCode):
        return (single,)
    codes = [patient_code([word]) for word in words]
    read = [code for code in codes if isinstance(code, PatientCode)]
    if not words or len(read) < len(words):
        return single
    return tuple(dict.fromkeys(read))


def _joined(words: Sequence[str]) -> str:
    """Join A-0412 and A 0412; two numbers are two patients and never joined."""
    whole = "-".join(words)
    return re.sub(r"(?<=[A-Z])-(?=[0-9])|(?<=[0-9])-(?=[A-Z])", "", whole)

"""A fact that stands beside something else in one text is a text of its own (S7).

OUT, T1 WAS TOPPED UP holds two; its commas are gone by now, and nobody types them reliably.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from flows.replies.denied import DENIES
from flows.replies.patient_code import PatientCode, patient_code
from flows.replies.plainly import SEEN
from flows.replies.tags import TAG

Words = tuple[str, ...]

_SEEN = SEEN - {"DIRTY", "SOILED", "BLOOD"}
"""What is no more than dirty is cleaned now."""

_AROUND: Mapping[str, frozenset[str]] = {
    "s": frozenset(
        {"IS", "WAS", "GOT", "GETS", "HAS", "HAVE", "BEEN", "CAME", "WENT", "TAKEN", "ALREADY"}
        | {"ON", "JUST", "THE", "A", "PATIENT", "PROBE", "FOR", "I", "WE", "HE", "SHE"}
    ),
    "j": frozenset({"AND", "BUT", "BECAUSE", "AS", "SINCE", "SO", "THEN", "PLUS", "WITH", "ALSO"}),
    "e": frozenset({"UP", "TOO", "NOW", "SORRY", "PLEASE", "EARLY", "EARLIER"}),
    "N": DENIES | {"IF", "WHEN", "WHETHER", "OR"},
    "I": frozenset({"IT", "IT'S", "ITS"}),
    "D": _SEEN,
}
"""Small words, what joins two clauses, what may end one, what denies one, and what is seen."""

_CLAUSE = re.compile(
    r"(?<!N)(?<!N.)"
    r"(?:Fs*(?:[LT]j?)*[LT]"  # FAULT V1
    r"|(?:(?<![LC])|(?<=KL))Us*[LCj]*[LC](?!j?Lj?C)"  # USED V1 0412
    r"|P[se]*(?:Tj?)*T"  # TOPPED UP T1
    r"|T(?:j?T)*[sI]*P"  # T1 WAS TOPPED
    r"|(?<!F)(?:(?<!U)|(?<=CU))Ls*[DO]"  # V1 CAME OUT
    r"|(?<!F)(?:(?<!U)|(?<=CU))Ls*BT9?"  # V2 IN T1 23
    r"|Is*D)"  # IT IS CRACKED
    r"e*(?=$|[jLTFUPKI])"
)
"""In a letter a word: see `Spoken`. What goes on behind it in words of its own is no clause."""


_USED_WITH_IT = re.compile("U[sj]*L(?:j?L)+s*[DO]")
"""USED V2 AND V1 CRACKED, without a code: V1 may have been used too."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """Words of ours as they are typed here, each with the letter of its kind.

    F is FAULT, U USED, P TOPPED, B IN, O OUT and the like, D damage, L a label, K another command;
    of other words T is a tag, C a patient's code, 9 a figure.
    """

    letters: Mapping[str, str]
    ours: frozenset[str]

    @classmethod
    def of(cls, kinds: Mapping[str, Iterable[str]], ours: Iterable[str]) -> "Spoken":
        """Later *kinds* go before earlier ones; all of them before small words."""
        both = (*_AROUND.items(), *kinds.items())
        letters = {word: letter for letter, words in both for word in words}
        return cls(letters, frozenset(ours))


def clauses(words: Words, spoken: Spoken) -> tuple[list[Words], Words]:
    """The facts in it, in their order, and what is left beside them; mostly it is one text."""
    letters = "".join(_letter(word, spoken) for word in words)
    if _USED_WITH_IT.search(letters):
        return [], words
    found = [each.span() for each in _CLAUSE.finditer(letters)]
    if not {"F", "U"}.isdisjoint(letters):
        found = [each for each in found if letters[each[0]] != "I"]
    facts = [_named(words, letters, start, end) for start, end in found]
    rest = _between(words, letters, found)
    is_ours = any(letters[at] in "KC9" or words[at] in spoken.ours for at in rest)
    if len(facts) == 1 and not is_ours:  # ANN TOPPED T1
        return [], words
    left = tuple(words[at] for at in rest)
    beside = {letters[at] for at in rest}
    is_of_a_use = "U" in letters and "C" in beside and beside <= set("CsjeLI")  # 0412 USED V1
    lacks_its_name = not beside.isdisjoint("FU") and beside.isdisjoint("LT")
    if len(facts) + bool(left) <= 1 or is_of_a_use or lacks_its_name:
        return [], words
    names = {word for word, letter in zip(words, letters, strict=True) if letter in "LT"}
    alone = "".join(letters[at] for at in rest)
    is_clear = any(fact[-1] in spoken.ours or {*fact} & names for fact in facts)
    if alone == "O" and not is_clear:  # OUT, IT IS CRACKED: why it came out
        return [], words
    return ([left, *facts], ()) if alone in {"D", "O"} else (facts, left)  # DAMAGED, IT FELL


def is_a_fact(words: Words, spoken: Spoken) -> bool:
    """Whether it is such a clause and nothing else."""
    return _CLAUSE.fullmatch("".join(_letter(word, spoken) for word in words)) is not None


def is_bad_news_alone(words: Words, spoken: Spoken) -> bool:
    """STAINED on a line of its own: of what is asked there, and not of what another line names."""
    return len(words) == 1 and _letter(words[0], spoken) in "OD"


def _letter(word: str, spoken: Spoken) -> str:
    if word in spoken.letters:
        return spoken.letters[word]
    if TAG.fullmatch(word):
        return "T"
    if isinstance(patient_code([word]), PatientCode):
        return "C"
    return "9" if word.isdecimal() else "x"


def _between(words: Words, letters: str, found: list[tuple[int, int]]) -> list[int]:
    """Where the words stand that are in none of them, without what only joined it to them.

    CLEAN V1 DAMAGED is about V1 twice; T1 by itself says nothing.
    """
    taken = {at for start, end in found for at in range(start, end)}
    named = {start for start, _ in found if letters[max(start - 1, 0) : start + 1] in {"KL", "KT"}}
    kept = [at for at in range(len(words)) if at not in taken or at in named]
    while kept and letters[kept[-1]] in "jI":
        kept.pop()
    while kept and letters[kept[0]] == "j":
        kept.pop(0)
    return kept if any(letters[at] not in "sjeILT" for at in kept) else []


def _named(words: Words, letters: str, start: int, end: int) -> Words:
    """CLEAN V1, USED ON 0412, and CHECK V1, IT IS DAMAGED: of the probe that was named before."""
    told, names = words[start:end], [at for at in range(start) if letters[at] == "L"]
    if not names or "L" in letters[start:end] or letters[start] not in "UI":
        return told
    label = words[names[-1]]
    return (told[0], label, *told[1:]) if letters[start] == "U" else (label, *told[1:])

"""What is said of each device, where one text names several: USED V1 0412 V2 0413 (S7, S16)."""

from collections.abc import Callable, Collection, Sequence
from itertools import pairwise

from flows.replies import NotUnderstood
from flows.replies.patient_code import PatientCode, patient_code

_JOINS = frozenset({"AND", "ALSO"})
_DENIES = frozenset({"NOT", "ISNT", "ISN'T", "WASNT", "WASN'T"})


def by_device(words: Sequence[str], labels: Collection[str]) -> dict[str, tuple[str, ...]]:
    """Give each of the *labels* among *words* what stands behind it, in the order typed.

    One label has all the words; a second one that might be a patient code is taken for that. Of
    several each has its own, or none has any: USED V1 V2 0412 does not say which of them 0412 was
    examined with, and nobody guesses it. USED V1 AND V2 0412 says that it was with both.
    """
    first = next(word for word in words if word in labels)
    named = {first, *(each for each in labels if isinstance(patient_code([each]), NotUnderstood))}
    at = [n for n, word in enumerate(words) if word in named]
    if {words[n] for n in at} == {first}:
        return {first: tuple(word for word in words if word != first)}
    said: dict[str, tuple[str, ...]] = {}
    pieces = [tuple(words[start + 1 : end]) for start, end in pairwise([*at, len(words)])]
    for start, own in zip(at, _shared(pieces), strict=True):
        said[words[start]] = (*said.get(words[start], ()), *own)
    is_clear = at[0] == 0 and all(said.values())
    return said if is_clear else dict.fromkeys(said, ())


def _shared(pieces: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Without what joins them; the one code behind V1 AND V2 is of both."""
    shared: list[tuple[str, ...]] = [()]
    for piece in reversed(pieces):
        is_joined = piece == ("AND",) and isinstance(patient_code(shared[-1]), PatientCode)
        own = tuple(word for word in piece if word not in _JOINS)
        shared.append(shared[-1] if is_joined else own)
    return shared[:0:-1]


def without_denied(words: Sequence[str], is_name: Callable[[str], bool]) -> tuple[str, ...]:
    """Return the same words without the names that are said not to be meant.

    V1 NOT V2, V1 INSTEAD OF V2, V1 USED, V2 NOT USED. What a name is said not to be, as in V2 NOT
    READY, denies no name.
    """
    kept: list[str] = []
    left = (*words, "", "")
    while left[0]:
        count = 1 if left[0] in _DENIES else 2 if left[:2] == ("INSTEAD", "OF") else 0
        if count and is_name(left[count]):
            left = left[count + 1 :]
        elif count == 1 and left[1] in {"", "USED"} and kept and is_name(kept[-1]):
            kept.pop()
            left = left[2:] if left[1] else left[1:]
        else:
            kept.append(left[0])
            left = left[1:]
    return tuple(kept)

"""What is said of each device, where one text names several: USED V1 0412 V2 0413 (S7, S16)."""

from collections.abc import Collection, Sequence
from itertools import pairwise

from flows.replies import NotUnderstood
from flows.replies.patient_code import patient_code

_JOINS = frozenset({"AND", "ALSO"})


def by_device(words: Sequence[str], labels: Collection[str]) -> dict[str, tuple[str, ...]]:
    """Give each of the *labels* among *words* what stands behind it, in the order typed.

    One label has all the words; a second one that might be a patient code is taken for that. Of
    several each has its own, or none has any: USED V1 V2 0412 does not say which of them 0412 was
    examined with, and nobody guesses it.
    """
    first = next(word for word in words if word in labels)
    named = {first, *(each for each in labels if isinstance(patient_code([each]), NotUnderstood))}
    at = [n for n, word in enumerate(words) if word in named]
    if {words[n] for n in at} == {first}:
        return {first: tuple(word for word in words if word != first)}
    said: dict[str, tuple[str, ...]] = {}
    for start, end in pairwise([*at, len(words)]):
        own = tuple(word for word in words[start + 1 : end] if word not in _JOINS)
        said[words[start]] = (*said.get(words[start], ()), *own)
    is_clear = at[0] == 0 and all(said.values())
    return said if is_clear else dict.fromkeys(said, ())

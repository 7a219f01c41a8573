"""SORRY, V2 NOT V1: the names that are meant, and those that are not (S7)."""

from collections.abc import Collection
from dataclasses import dataclass

from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.replies.by_device import without_denied
from flows.replies.patient_code import PatientCode, patient_code
from flows.replies.typed import POLITE, TAKES_BACK, fold_ours

_CORRECTS = TAKES_BACK | {"MEANT", "MEAN", "SHOULD", "ACTUALLY", "CORRECTION", "TYPO", "INSTEAD"}
_BESIDE = (
    POLITE
    | _CORRECTS
    | {"I", "WE", "IT", "IT'S", "ITS", "IS", "WAS", "THAT", "THE", "A", "BE", "HAVE", "BEEN"}
    | {"PROBE", "DEVICE", "CODE", "PATIENT", "NUMBER", "NR", "BUT", "AND", "OF", "ON", "USED"}
)
"""What people say around the name or the code that they had meant."""


@dataclass(frozen=True, slots=True)
class Meant:
    """The probes and the codes in a text that puts it right; what it denies apart."""

    devices: tuple[str, ...]
    codes: tuple[str, ...]
    denied: frozenset[str]


def names_meant(situation: Situation, also: Collection[str] = ()) -> Meant | None:
    """None where the text puts nothing right, or says more than that; *also* are small words."""
    said = typed(situation)
    if said.asks or _CORRECTS.isdisjoint(said.words):
        return None
    labels = {fold_ours(label): label for label in situation.clinic.devices}
    names = [each for each in said.words if each in labels or _is_code(each)]
    if not _BESIDE.issuperset({*said.words} - {*names, *also}):
        return None
    left = [each for each in without_denied(said.words, names.__contains__) if each in names]
    return Meant(
        tuple(dict.fromkeys(labels[each] for each in left if each in labels)),
        tuple(dict.fromkeys(each for each in left if each not in labels)),
        frozenset(labels.get(each, each) for each in names if each not in left),
    )


def _is_code(word: str) -> bool:
    return isinstance(patient_code([word]), PatientCode)

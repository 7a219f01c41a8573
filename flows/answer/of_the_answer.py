"""A use or a fault without a name, below an answer: of the probe that is answered for (S7)."""

from collections.abc import Sequence
from dataclasses import replace

from flows.answer.draft import Draft
from flows.answer.landing import cleanings_here
from flows.catalogue import FLOWS
from flows.parts.clinic import Thread
from flows.replies import NotUnderstood
from flows.replies.patient_code import PatientCode, patient_code
from flows.replies.tags import TAG
from flows.replies.typed import Typed, fold_ours

Words = tuple[str, ...]

_OF_ELSE = frozenset({"STRIP", "STRIPS", "BATH", "TUB", "BOTTLE", "JUG"})


def named_by_it(
    draft: Draft, told: Sequence[Words], answer: Words, facts: frozenset[str]
) -> list[Words]:
    """COVERED and below it USED 0412: V1 is used, and not released in the same breath (S9)."""
    nameless = [each for each in told if each[0] in facts and _has_no_name(draft, each)]
    label = _answered_for(draft, answer) if nameless else ""
    return [(each[0], label, *each[1:]) if label and each in nameless else each for each in told]


def _has_no_name(draft: Draft, words: Words) -> bool:
    """Nor tells of a container, or of a use of anything but a probe on a patient."""
    labels, rest = {*map(fold_ours, draft.clinic.devices)}, words[1:]
    is_of_else = any(map(TAG.fullmatch, rest)) or not _OF_ELSE.isdisjoint(rest)
    is_of_a_patient = any(isinstance(patient_code([each]), PatientCode) for each in rest)
    is_fault = words[0] == fold_ours(draft.vocabulary(draft.person).word("fault"))
    is_clear = is_fault or is_of_a_patient or not rest
    return labels.isdisjoint(rest) and not is_of_else and is_clear


def _answered_for(draft: Draft, answer: Words) -> str:
    """The label of the one cleaning in hand that takes it; empty where none or another might."""
    labels = [(each, fold_ours(cycle.device)) for each, cycle in cleanings_here(draft)]
    meant = [each for each in labels if each[1] in answer] or labels
    if len(meant) != 1:
        return ""
    thread, label = meant[0]
    bare = tuple(word for word in answer if word != label)
    return label if _takes(draft, thread, bare) else ""


def _takes(draft: Draft, thread: Thread, words: Words) -> bool:
    step = FLOWS[thread.top.flow].step(thread.top.step)
    said = replace(draft.situation(thread), typed=Typed(" ".join(words), (words,), words))
    return step is not None and not isinstance(step.reads(said), NotUnderstood)

"""V1 COVERED, V2 IN T1: that V2 soaks there is known, and breaks nothing (S3).

In a text of its own it is heard as said: who has put it in once more says it so.
"""

from flows.answer.draft import Draft
from flows.replies.typed import POLITE, Typed, fold_ours
from flows.rules.soak import is_out

_AROUND = POLITE | {"IS", "STILL", "THE", "AND", "BUT", "BATH", "TUB", "STAYS", "REMAINS"}


def without_what_stands(draft: Draft, said: Typed, parts: tuple[Typed, ...]) -> tuple[Typed, ...]:
    """*parts* of what was *said* without those; where nothing else was told, as it was said."""
    if len(parts) <= 1:
        return parts
    told = tuple(each for each in parts if not _stands(draft, each))
    return told or (said,)


def soaks_in(draft: Draft, label: str) -> str:
    """The bath that a probe is in, by its folded label; empty for none, or once it is out."""
    devices = draft.clinic.devices.values()
    here = [each.cycle or "" for each in devices if fold_ours(each.label) == label]
    cycle = draft.clinic.cycles.get("".join(here))
    soaks = cycle is not None and cycle.contact is not None and not is_out(draft.clinic, cycle)
    return fold_ours(cycle.bath or "") if cycle and soaks else ""


def _stands(draft: Draft, said: Typed) -> bool:
    label, *rest = said.words or ("",)
    bath = soaks_in(draft, label)
    word = fold_ours(draft.vocabulary(draft.person).word("in"))
    return bool(bath) and word in rest and _AROUND.issuperset({*rest} - {word, bath})

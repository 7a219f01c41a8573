"""NOT USED, NO PATIENTS, NOBODY: that there was no use, in other words than NONE (S16)."""

from flows.replies.typed import POLITE, Typed

_NOBODY = frozenset(
    {("NOBODY",), ("NO", "ONE"), ("NO", "PATIENT"), ("NO", "PATIENTS"), ("NONE", "YET")}
    | {("NOT", "USED"), ("NOT", "USED", "YET"), ("NO", "USE"), ("UNUSED",), ("0",)}
)
"""NO CODES may be a use whose code nobody has."""

_BESIDE = POLITE | {"IT", "WAS", "IS"}


def says_nobody(typed: Typed) -> bool:
    """Whether that is all it says.

    Not where a day stands beside it: NONE TODAY is not none since its release.
    """
    said = tuple(word for word in typed.words if word not in _BESIDE)
    return not typed.asks and said in _NOBODY

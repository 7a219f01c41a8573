"""SORRY, NOT IN YET: an IN that was texted too soon is taken back (S2)."""

from flows.replies.denied import NOT_SO
from flows.replies.typed import POLITE, Typed

_TOO_SOON = frozenset({"EARLY", "SOON"})
_AROUND = (
    POLITE
    | NOT_SO
    | {"I", "WE", "IT", "ITS", "IT'S", "IS", "WAS", "HAS", "HAVE", "HAD", "DID", "BEEN", "THE"}
    | {"THAT", "PROBE", "BATH", "TUB", "LIQUID", "PUT", "YET", "ACTUALLY", "STILL", "ALREADY"}
    | {"SORRY", "WAIT", "OOPS", "NO", "MISTAKE", "BY", "THERE", "REALLY", "BUT", "FULLY", "ALL"}
)
"""With any other word it may be said of something else: NOT IN DOUBT, NO AIR IN IT."""
_TEXTED = _AROUND | {"TEXTED", "SENT", "TOLD", "SAID", "REPLIED", "TEXT", "TOO", "MY", "A", "BIT"}


def denies_in(typed: Typed) -> bool:
    """S2: whether nothing is said but that it is not in, or that this was texted too early."""
    if typed.asks:
        return False
    said = {*typed.words}
    is_denied = "IN" in said and not NOT_SO.isdisjoint(said) and said <= _AROUND | {"IN"}
    return is_denied or (not _TOO_SOON.isdisjoint(said) and said <= _TEXTED | _TOO_SOON | {"IN"})

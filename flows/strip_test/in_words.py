"""ALL BLUE, PATCHY, NOT ALL PURPLE: a fail in words of its own, never taken for a pass (S4)."""

from collections.abc import Sequence
from itertools import pairwise

from flows.parts.text import Text, say
from flows.protocols.model import StripProduct
from flows.replies.denied import NOT_OR_NO
from flows.replies.typed import POLITE, Typed, fold

FAILS = "fails"
"""Why such a text is no reading yet: what to reply is in `near`."""

_OF_A_FAIL = frozenset({"PATCHY", "FAIL", "FAILS", "FAILED"})
_NOT_WHOLLY = frozenset({"HALF", "PARTLY", "NEARLY", "ALMOST", "ONLY", "MOSTLY"})
_BESIDE = POLITE | {
    *("A", "AND", "THE", "IT", "ITS", "IT'S", "IS", "WAS", "STRIP", "TEST", "PAD", "COLOUR"),
    *("COLOR", "ALL", "ANY", "BIT", "LITTLE", "SOME", "STILL", "SORRY", "LOOKS", "TURNED"),
}


def tells_a_fail(typed: Typed, product: StripProduct, passes: int) -> bool:
    """Whether all of it is of a strip that fails: what denies a fail, or tells more, is not.

    1 PATCHY may stand with the digit of a pass: no pass looks so.
    """
    failed = _words(product.fail_colour) | _OF_A_FAIL
    passed = _words(product.pass_colour) - failed
    digits = {str(passes), str(passes + 1)}
    known = failed | passed | _NOT_WHOLLY | NOT_OR_NO | _BESIDE | digits
    if typed.asks or not known.issuperset(typed.words):
        return False
    denied = {right for left, right in _behind_all(typed.words) if left in NOT_OR_NO}
    is_less = not (NOT_OR_NO | _NOT_WHOLLY).isdisjoint(typed.words)
    is_no_pass = is_less and not passed.isdisjoint(typed.words)
    fails = failed & {*typed.words}
    return bool(fails or is_no_pass) and fails.isdisjoint(denied)


def if_it_looks_so(reply: str) -> Text:
    """It is neither a pass nor bad news of the strips themselves: *reply* fails their bath."""
    return say(
        "strip.if_it_looks_so",
        "If that is how the strip looks, it fails: reply {word}. It is not noted yet.",
        word=reply,
    )


def _behind_all(words: Sequence[str]) -> list[tuple[str, str]]:
    """NOT ANY BLUE denies the blue."""
    return list(pairwise([each for each in words if each not in _BESIDE]))


def _words(colour: str) -> frozenset[str]:
    return frozenset(fold(colour).split()) - {"ANY", "ALL", "OR"}

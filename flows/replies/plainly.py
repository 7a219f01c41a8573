"""V1 IS IN T2, OUT OF THE BATH: a text that says that of a probe, and nothing else (S3)."""

import re
from itertools import pairwise

from flows.replies.denied import DENIES
from flows.replies.numbers import is_figure
from flows.replies.tags import VESSEL
from flows.replies.temperature import unit_of
from flows.replies.typed import POLITE, Typed

_AROUND = POLITE | {
    *("I", "WE", "IT", "ITS", "IT'S", "IS", "WAS", "ARE", "BOTH", "HAS", "HAVE", "BEEN"),
    *("THE", "PROBE", "A"),
    *("PUT", "WENT", "CAME", "COME", "FELL", "TAKEN", "TOOK", "BACK", "STILL", "ALREADY"),
    *("EARLY", "TOO", "SOON", "MISTAKE", "BY", "OF", "BATH", "TUB", "SORRY", "AGAIN"),
}
"""What people say around IN, OUT or MOVED that leaves it what it is: said of a probe."""
_TIME = re.compile("[0-9]{1,2}[:.H][0-9]{2}")
SEEN = frozenset(
    {"DAMAGED", "DAMAGE", "STAINED", "STAIN", "STAINS", "BROKEN", "BROKE", "CRACKED", "CRACK"}
    | {"CRACKS", "FELL", "DROPPED", "DIRTY", "SOILED", "BLOOD", "LEAKS", "FAULTY"}
)
_ALARMING = SEEN | {"IN", "OUT", "MOVED", "ORDER", "REPAIR"}
_ELSEWHERE = frozenset(
    {"INTO", "OUT", "MOVED", "REMOVED", "LIFTED", "TOUCHED", "BUMPED", "SLIPPED", "SPILLED"}
    | {"WRONG", "OOPS", "ACCIDENT", "ACCIDENTALLY"}
)


def says_plainly(typed: Typed, word: str) -> bool:
    """Whether nothing but that *word*, a tag, figures and small words stand in the text.

    IN USE, IN STOCK, OUT FOR LUNCH and POURED IN T2 say nothing of a probe; nor does 2 IN T1,
    which is what a strip shows, nor OUT AT 12:22.
    """
    if typed.asks or word not in typed.words:
        return False
    at = typed.words.index(word)
    before, after = typed.words[:at], typed.words[at + 1 :]
    return _AROUND.issuperset(before) and all(map(_may_follow, after))


def _may_follow(word: str) -> bool:
    if word in _AROUND or VESSEL.fullmatch(word):
        return True
    is_reading = is_figure(word) and not _TIME.fullmatch(word)
    return is_reading or unit_of(word) is not None


def names_a_vessel(typed: Typed, *words: str) -> bool:
    """Whether a tag stands right behind one of those *words*."""
    return any(each in words and VESSEL.fullmatch(tag) for each, tag in pairwise(typed.words))


def may_be_damage(typed: Typed) -> bool:
    """Whether somebody may have seen damage or soil, in words that nobody asked for."""
    pairs = pairwise(("", *typed.words))
    return not typed.asks and any(word in SEEN and left not in DENIES for left, word in pairs)


def may_alarm(typed: Typed) -> bool:
    """Whether a text about a probe may be bad news, though it is not clear which."""
    return not typed.asks and not _ALARMING.isdisjoint(typed.words)


def may_be_elsewhere(typed: Typed) -> bool:
    """Whether a probe may have been where it should not be, or not where it should."""
    pairs = pairwise(("", *typed.words))
    return any(word in _ELSEWHERE and before != "NOTHING" for before, word in pairs)

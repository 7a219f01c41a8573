"""NOT GOOD, ONE FAILED, UNSURE: words that take back what is vouched for, or withhold it (S4)."""

import re

from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.replies.denied import NOT_SO
from flows.replies.tags import tags_in
from flows.replies.typed import POLITE, fold

_DOUBTS = frozenset({"UNSURE", "BAD", "FAILED", "FAIL", "FAILS", "OLD", "DIRTY", "PATCHY"})
_VOUCHES = frozenset(
    {"SURE", "GOOD", "ACTIVE", "ACTIVATED", "FRESH", "DRY", "WASHED", "EMPTY", "CLEAN", "CLEAR"}
    | {"BOILED", "COOLED", "MEASURED", "PASS", "PASSED", "RIGHT", "SO", "NEW"}
)
_BESIDE = POLITE | {
    *("SORRY", "OOPS", "NO", "ACTUALLY", "BUT", "I", "AM", "I'M", "IM", "WE", "IT", "ITS", "IT'S"),
    *("IS", "WAS", "WERE", "ARE", "THEY", "THE", "A", "ONE", "TWO", "ALL", "OF", "THAT", "WRONG"),
    *("STRIP", "STRIPS", "JUG", "BATH", "TUB", "BOTTLE", "WATER", "BLEACH", "MISTAKE", "DILUTED"),
}
"""What people say around it; with any other word it may be about something else."""
_WHO_IS = ("I", "AM", "I'M", "IM")
_SO_MANY_OF = re.compile(r"\b([0-9]) ?(?:OF|OUT OF|/) ?([0-9])\b")


def is_in_doubt(situation: Situation, tag: str) -> bool:
    """Whether the text says so of what bears that *tag*, and nothing else."""
    said = typed(situation)
    tags = tags_in(said.words)
    if said.asks or not {*tags.values()} <= {tag}:
        return False
    labels = map(fold, situation.clinic.devices)
    words = {*said.words} - {*tags} - {*labels}
    unsure = fold(situation.vocabulary.word("unsure"))
    in_words = bool(words & (_DOUBTS | {unsure})) or (words & NOT_SO and words & _VOUCHES)
    is_all = words <= _DOUBTS | {unsure} | NOT_SO | _VOUCHES | _BESIDE
    return bool(in_words and is_all)


def is_not_sure(situation: Situation) -> bool:
    """I AM NOT SURE and no more, as UNSURE; a question is none."""
    said = typed(situation)
    return said.without(*_WHO_IS, *POLITE).words == ("NOT", "SURE") and not said.asks


def not_all_passed(situation: Situation) -> bool:
    """S4: 2 OF 3 PASSED. NO by itself may be NOT NOW."""
    said = typed(situation)
    found = _SO_MANY_OF.findall(" ".join(said.words))
    return not said.asks and any(int(some) < int(all_) for some, all_ in found)

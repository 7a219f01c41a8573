"""HOW LONG, ONE MOMENT, STILL BUSY: what people say while they work that tells of nothing (S8)."""

from collections.abc import Sequence

from flows.replies.courtesy import HARMLESS
from flows.replies.denied import DENIES
from flows.replies.numbers import is_figure
from flows.replies.plainly import SEEN

SMALL_TALK = HARMLESS | {
    *("I", "I'M", "IM", "AM", "WE", "ME", "MY", "IT'S", "ITS", "THAT", "THIS", "A", "AN", "TO"),
    *("OF", "AT", "WITH", "BE", "WAS", "WILL", "CAN", "DO", "DOES", "SHALL", "SORRY", "BACK"),
    *("STILL", "MINUTE", "MINUTES", "MIN", "MINS", "SEC", "SECS", "MOMENT", "ONE", "WAIT", "BUSY"),
    *("WORKING", "GOING", "COMING", "HOW", "LONG", "MUCH", "MANY", "WHAT", "WHEN", "WHICH", "WHY"),
    *("TIME", "LEFT", "TIMER", "BELL", "RANG", "STARTED", "YET", "NUMBER", "NR", "PATIENT"),
    *("PATIENTS", "LUNCH", "BREAK", "IN", "ROOM", "OFFICE", "MEETING", "TOILET", "STOCK", "HOUR"),
    *("HOURS", "FEW", "ORDER", "HM", "HMM", "EH", "AH", "UH", "GLOVES", "ON", "GOT", "NOTED"),
    *("UNDERSTOOD", "UNDERSTAND", "PERFECT", "GREAT", "AMEN", "GOD", "BLESS", "NIGHT", "TOMORROW"),
    *("SEE", "EVERYTHING", "PROBLEM", "LOOKS", "SET", "RUNNING", "DELAY", "LABEL", "LABELED"),
    *(
        "WRITTEN",
        "TAG",
        "CODE",
        "LID",
        "REPEAT",
        "SAY",
        "TEA",
        "GIVE",
        "LONGER",
        "NURSE",
        "DOCTOR",
    ),
    *("PHONE", "BATTERY", "NETWORK", "POWER", "HERE", "ASKING", "PUT", "TAKE", "HAVE", "DID"),
    *("CAN'T", "DONT", "DON'T", "KNOW", "PLEASE", "ME", "HOLD", "RIGHT", "THERE", "SO", "NOW"),
}
_NOT_YET = ("NOT", "YET")
_COUNTED = frozenset({"A", "ONE", "FEW"})
_AN_HOUR = frozenset({"A", "AN", "HOUR"})


def news(words: Sequence[str]) -> list[str]:
    """The words that are no small talk: HALF AN HOUR is, HALF OUT is not; nor is SECOND PROBE."""
    told = list(words[2:] if tuple(words[:2]) == _NOT_YET else words)
    around = zip(("", *told), told, (*told[1:], ""), strict=False)
    return [word for left, word, right in around if not _is_small(left, word, right)]


def _is_small(left: str, word: str, right: str) -> bool:
    if word in {"SECOND", "SECONDS"}:
        return (left in _COUNTED or is_figure(left)) and right != "PROBE"
    is_denied = (word in DENIES and right in SEEN) or (word in SEEN and left in DENIES)
    return word in SMALL_TALK or is_denied or (word == "HALF" and right in _AN_HOUR)

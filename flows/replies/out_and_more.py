"""OUT BECAUSE IT FELL: what is told beside OUT is mostly why (S3)."""

from itertools import pairwise

from flows.replies.numbers import is_figure
from flows.replies.small_talk import news
from flows.replies.temperature import unit_of
from flows.replies.typed import POLITE, Typed

_OF_OUT = POLITE | {
    *("OUT", "I", "I'VE", "WE", "MY", "IT", "ITS", "IT'S", "IS", "WAS", "HAS", "HAVE", "BEEN"),
    *(
        "THE",
        "A",
        "OF",
        "BY",
        "AT",
        "AND",
        "ME",
        "YES",
        "JUST",
        "ALREADY",
        "LITTLE",
        "BIT",
        "LATE",
    ),
    *("BATH", "TUB", "LIQUID", "PROBE", "CAME", "COME", "TAKEN", "TOOK", "TAKE", "PUT", "WENT"),
    *("TOO", "EARLY", "EARLIER", "SOON", "BEFORE", "BELL", "MISTAKE", "ACCIDENT", "SORRY", "OOPS"),
    *("MIN", "MINS", "MINUTE", "MINUTES", "SEC", "SECS", "AGO", "TIME"),
    *("NUMBER", "NR", "TEMP", "TEMPERATURE", "AGAIN", "CHECK", "HERE", "ONCE", "STRAIGHT"),
}
"""What people say around OUT that tells of nothing else."""


_TWO_OF_THEM = {("2", "IN"), ("2", "PROBES")}
"""S21: 2 IN ONE BATH is no reading and no time."""


def tells_more(typed: Typed, *names: str) -> bool:
    """Whether a word stands beside OUT that is none of *names* and may say why it came out."""
    if any(each in _TWO_OF_THEM for each in pairwise(typed.words)):
        return True
    said = (each for each in news(typed.without(*names).words) if each not in _OF_OUT)
    return any(not is_figure(each) and unit_of(each) is None for each in said)

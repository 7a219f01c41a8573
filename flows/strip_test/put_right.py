"""A reading that is put right at once: of two from one phone the worse counts (S4)."""

from dataclasses import replace
from datetime import timedelta

from flows.parts.clinic import Container
from flows.parts.decision import AGAIN, Decision, Saying
from flows.parts.events import Stamped, StripRead
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.tags import TAG
from flows.replies.typed import POLITE
from flows.rules import strip as rule
from flows.rules.failed_after_all import may_fail
from flows.strip_test import words
from flows.strip_test.digits import first_of_last

RIGHTED_WITHIN = timedelta(minutes=2)
"""Later the same digit may be said of something else: a rinse is done 3 times.
Source: common practice, none published."""

AT_ONCE = timedelta(seconds=20)
"""So soon a digit by itself can only be that of the strip. Source: common practice, none
published."""

_CORRECTS = frozenset(
    {"SORRY", "OOPS", "WRONG", "MISTAKE", "WAS", "MEANT", "NOT", "ACTUALLY", "STRIP", "CORRECTION"}
)
_AROUND = POLITE | (_CORRECTS - {"NOT"}) | {"NO", "IT", "ITS", "IT'S", "IS", "I", "BUT"}
"""What people say around the digit that they had meant."""


def put_right(situation: Situation, moment: Moment) -> Decision | None:
    """S4: after a pass by mistake, one of the other digits of that strip fails it after all.

    Taken from the phone that has just read it, of whatever it has read last; what soaks on it
    falls. None for any other text, and for a strip that has failed already.
    """
    seen, stamped = _worse(situation), _read_last(situation, moment)
    if stamped is None or isinstance(seen, NotUnderstood):
        return None
    read = stamped.event
    container = situation.clinic.containers.get(getattr(read, "container", ""))
    if not isinstance(read, StripRead) or container is None or not may_fail(read):
        return None
    since = moment.now - stamped.at
    if since > AT_ONCE and not _says_of_what(situation):
        return Decision(says=(Saying(_is_it_the_strip(situation, container)),))
    fail = replace(
        read,
        outcome=rule.FAIL,
        seen=seen,
        because="" if seen == rule.FAIL else seen,
        age=read.age + since,
        age_most=read.age_most + since if read.age_most is not None else None,
        good_until=None,
    )
    return Decision(events=(fail,), says=(Saying(words.failed(container)),), then=AGAIN)


def _says_of_what(situation: Situation) -> bool:
    """SORRY 2, T1 2: a digit by itself may answer something else that has been asked since."""
    words_ = typed(situation).words
    return any(TAG.fullmatch(each) or each in _CORRECTS for each in words_)


def _is_it_the_strip(situation: Situation, container: Container) -> Text:
    digit = next(each for each in typed(situation).words if each.isdecimal())
    return say(
        "strip.put_right.whether",
        "Is {word} what the strip of {tag} shows after all? Then text {tag} {word}. If it is "
        "about something else, please say of what.",
        word=digit,
        tag=container.tag,
    )


def _read_last(situation: Situation, moment: Moment) -> Stamped | None:
    """What this phone has read last, where that was just now."""
    readings = situation.past((StripRead,), moment.now - RIGHTED_WITHIN)
    mine = [each for each in readings if each.phone == situation.phone.id]
    return mine[-1] if mine else None


def _worse(situation: Situation) -> str | NotUnderstood:
    """The digits of whichever phone has dipped it: one may read what another has dipped.

    SORRY 2, IT WAS 2 and 2 NOT 1 are corrections.
    """
    said, firsts = typed(situation), {*map(first_of_last, situation.clinic.phones.values())}
    left = [word for word in said.words if word not in _AROUND and not TAG.fullmatch(word)]
    for first in firsts:
        seen = {str(first + 1): rule.FAIL, str(first + 2): "unsure"}
        if not said.asks and (left in ([digit] for digit in seen) or _is_denied(left, first)):
            return seen[left[0]]
    return NotUnderstood("word")


def _is_denied(left: list[str], first: int) -> bool:
    """2 NOT 1."""
    return left in ([str(first + 1), "NOT", str(first)], [str(first + 2), "NOT", str(first)])

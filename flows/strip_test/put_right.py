"""A reading that is put right at once: of two the worse counts (S4)."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

from flows.parts.decision import AGAIN, Decision, Saying
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.denied import NOT_OR_NO
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import POLITE, fold
from flows.rules import strip as rule
from flows.strip_test import words
from flows.strip_test.digits import SETS_OF_DIGITS
from flows.strip_test.in_question import InQuestion, in_question

AT_ONCE = timedelta(seconds=20)
"""So soon a digit by itself can only be that of the strip. Source: common practice, none
published."""

UNSURE = "unsure"
_CORRECTS = frozenset(
    {"SORRY", "OOPS", "WRONG", "MISTAKE", "WAS", "MEANT", "NOT", "ACTUALLY", "STRIP", "CORRECTION"}
    | {"TYPO", "SHOULD"}
)
_AROUND = (
    POLITE
    | (_CORRECTS - {"NOT"})
    | {"NO", "IT", "ITS", "IT'S", "IS", "I", "MY", "BUT", "THE", "BE"}
)
"""What people say around the digit that they had meant."""

_BEFORE_A_TAG = frozenset({"IN", "FOR", "OF"})
_IN_DOUBT = frozenset(
    {"BAD", "FAIL", "FAILS", "FAILED", "PATCHY", "UNSURE", "WRONG", "MISTAKE", "MEANT", "TYPO"}
    | {"CORRECTION"}
)
_COUNTED = frozenset(
    {
        "MIN",
        "MINS",
        "MINUTE",
        "MINUTES",
        "SEC",
        "SECONDS",
        "HOURS",
        "DAYS",
        "TIMES",
        "MORE",
        "LEFT",
    }
    | {"STRIPS", "PATIENTS", "PEOPLE", "PROBES", "BATHS", "L", "LITRES"}
)
"""What a figure before it is a number of: 2 min left, 3 patients waiting."""
_NUMBERED = frozenset({"ROOM", "WARD", "BED"})
_OF_IT = frozenset({"ALL", "ABOUT", "COLOUR", "COLOR", "AM", "I'M", "IM", "REALLY", "QUITE"})
_OF_A_PASS = frozenset({"SURE", "GOOD", "PASS", "PASSED"})


def put_right(situation: Situation, moment: Moment) -> Decision | None:
    """S4: after a pass by mistake, one of the other digits of that strip fails it after all.

    Taken from the phone that has read it, or with its tag from any; what soaks on it falls. So it
    is of a strip whose question has gone. None for any other text, and for a strip that has
    failed already.
    """
    if typed(situation).asks:
        return None
    for strip in _meant(situation, moment):
        seen = _worse(situation, strip)
        if seen:
            return _failed(situation, strip, seen, moment)
    return None


def may_be_put_right(situation: Situation, moment: Moment) -> Text | None:
    """S4: what else may be said of that strip is asked about, while it may be put right."""
    said = typed(situation).words
    for strip in _meant(situation, moment):
        digits = _digits(situation, strip)
        digit = next((each for each in _by_themselves(said) if each in digits), None)
        if digit:
            return _is_it_the_strip(strip.fails.container, digit)
        if _is_doubted(situation, strip):
            return _is_it_about_the_strip(strip)
    return None


def _by_themselves(said: Sequence[str]) -> list[str]:
    """Words that neither count what follows nor number what stands before."""
    around = zip(("", *said), said, (*said[1:], ""), strict=False)
    return [
        each for left, each, right in around if right not in _COUNTED and left not in _NUMBERED
    ]


def _is_doubted(situation: Situation, strip: InQuestion) -> bool:
    """IT WAS BLUE, NOT PURPLE, NOT SURE; but not NO BLUE, nor NOT SURE WHAT NEXT."""
    said, fails = typed(situation).words, _doubts(situation, strip)
    of_a_pass = _OF_A_PASS | _colours(situation, strip)[rule.PASS]
    is_denied = any(left in NOT_OR_NO and each in fails for left, each in pairwise(said))
    denies_a_pass = not NOT_OR_NO.isdisjoint(said) and not of_a_pass.isdisjoint(said)
    is_all = (_AROUND | NOT_OR_NO | of_a_pass | _OF_IT).issuperset(said)
    return (not fails.isdisjoint(said) and not is_denied) or (denies_a_pass and is_all)


def _meant(situation: Situation, moment: Moment) -> list[InQuestion]:
    """The last first: of the tag that is named; without one, of this very phone."""
    tags, me = _tags(situation), situation.phone.id
    sent = situation.sent_at or moment.now
    strips = reversed(in_question(situation, moment))
    if tags:
        return [each for each in strips if each.fails.container in tags]
    return [each for each in strips if each.phone == me and sent <= each.until]


def _tags(situation: Situation) -> set[str]:
    return {*tags_in(typed(situation).words).values()}


def _failed(situation: Situation, strip: InQuestion, seen: str, moment: Moment) -> Decision:
    container = situation.clinic.containers[strip.fails.container]
    if _is_late(strip, moment) and not _says_of_what(situation):
        digit = next(each for each in typed(situation).words if each.isdecimal())
        return Decision(says=(Saying(_is_it_the_strip(container.tag, digit)),))
    fails = replace(strip.fails, seen=seen, because="" if seen == rule.FAIL else seen)
    return Decision(events=(fails,), says=(Saying(words.failed(container)),), then=AGAIN)


def _is_late(strip: InQuestion, moment: Moment) -> bool:
    return strip.read_at is not None and moment.now - strip.read_at > AT_ONCE


def _says_of_what(situation: Situation) -> bool:
    """SORRY 2, T1 2: a digit by itself may answer something else that has been asked since."""
    said = typed(situation).words
    return bool(_tags(situation)) or not _CORRECTS.isdisjoint(said) or len(_left(situation)) > 1


def _is_it_the_strip(tag: str, digit: str) -> Text:
    return say(
        "strip.put_right.whether",
        "Is {word} what the strip of {tag} shows after all? Then text {tag} {word}. If it is "
        "about something else, please say of what.",
        word=digit,
        tag=tag,
    )


def _is_it_about_the_strip(strip: InQuestion) -> Text:
    return say(
        "strip.put_right.about",
        "Is it about the strip of {tag}? If it fails after all, text {tag} {digit_b}; if you are "
        "not sure, {tag} {digit_c}. If it is about something else, please say of what.",
        tag=strip.fails.container,
        digit_b=str(strip.first + 1),
        digit_c=str(strip.first + 2),
    )


# -- what it shows ------------------------------------------------------------------------------


def _worse(situation: Situation, strip: InQuestion) -> str:
    """SORRY 2, IT WAS 2, 2 NOT 1, 2 ANY BLUE; empty for anything else."""
    left = _left(situation)
    seen = _digits(situation, strip).get(left[0]) if left else None
    if seen is None:
        return ""
    is_denied = left[1:] == ["NOT", str(strip.first)]
    return seen if is_denied or _colours(situation, strip)[seen].issuperset(left[1:]) else ""


def _left(situation: Situation) -> list[str]:
    """What was said but small words; 2 IN T1 is of its bath, IN T1 2 may be of a probe."""
    said = typed(situation).words
    is_of_a_bath = said[:1] and said[0].isdecimal() and _tags(situation)
    around = _AROUND | _BEFORE_A_TAG if is_of_a_bath else _AROUND
    return [word for word in said if word not in around and not TAG.fullmatch(word)]


def _digits(situation: Situation, strip: InQuestion) -> Mapping[str, str]:
    """Its own; beside its tag those of any strip: nobody keeps in mind which it was asked in."""
    first = range(1, 3 * SETS_OF_DIGITS, 3) if _tags(situation) else (strip.first,)
    fails = {str(each + 1): rule.FAIL for each in first}
    return fails | {str(each + 2): UNSURE for each in first}


def _colours(situation: Situation, strip: InQuestion) -> Mapping[str, frozenset[str]]:
    """The words that its question has for each digit."""
    container = situation.clinic.containers[strip.fails.container]
    protocol = situation.protocol_for(container.product)
    passed = _words(protocol.strip.pass_colour) if protocol else frozenset()
    failed = _words(protocol.strip.fail_colour) if protocol else frozenset()
    return {
        rule.PASS: passed - failed,
        rule.FAIL: failed | {"OR", "PATCHY"},
        UNSURE: frozenset({"NOT", "SURE", "UNSURE"}),
    }


def _words(colour: str) -> frozenset[str]:
    return frozenset(fold(colour).split())


def _doubts(situation: Situation, strip: InQuestion) -> frozenset[str]:
    colours = _colours(situation, strip)
    return _IN_DOUBT | (colours[rule.FAIL] - {"ANY", "ALL", "OR"})

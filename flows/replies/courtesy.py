"""HELLO, OK THANKS, REGARDS SISTER ANN: what answers nothing and changes no answer (S8)."""

import re
from collections.abc import Collection, Sequence
from dataclasses import replace

from flows.replies.hurt import words_of_hurt
from flows.replies.plainly import may_be_damage, may_be_elsewhere
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, TAKES_BACK, Typed, fold

_TITLES = frozenset(
    {"SISTER", "SR", "NURSE", "MATRON", "BROTHER", "BR", "MR", "MRS", "MS", "DR", "DOCTOR"}
)
_GREETINGS = frozenset({"REGARDS", "GREETINGS", "CHEERS", "YOURS", "SINCERELY"})
_BEFORE = frozenset({"BEST", "KIND", "WARM", "MANY", "WITH"})
"""What stands before REGARDS."""

_SAYS_ELSE = TAKES_BACK | {
    *("UNSURE", "BLUE", "PATCHY", "WET", "MAYBE", "FORGOT", "TOOK", "CAME", "WENT", "LEFT", "DID"),
    *("SAYS", "SAID", "TOLD", "SAW", "HURT", "ILL", "SICK", "LATE", "BUSY", "ASKS", "CALLS"),
    *("TORN", "TIP", "HALF", "ONE", "ONCE", "ALMOST", "NEARLY", "COULD", "CANNOT"),
}
_LETTERS = re.compile(r"[^\W\d]{2}")
_VERB = re.compile(".+(?:ED|ING)")
"""SISTER INTERRUPTED is no name; nor is, to be on the safe side, SISTER WINIFRED."""


ALL_IS_WELL = POLITE | {
    *("DONE", "GOOD", "FINE", "CLEAN", "READY", "WAITING", "SOAKING", "NEXT", "IS", "ALL", "YES"),
    *("THE", "AND", "LABELLED", "FULL", "START", "CLEANING", "PROBE"),
}
"""Beside a probe's or a tub's name they tell of nothing that can hurt anybody."""

HARMLESS = ALL_IS_WELL | {
    *("HELLO", "HI", "GOODMORNING", "MORNING", "WHO", "WHERE", "HAS", "IT", "FOR"),
    *("FIRST", "SOON", "STARTING"),
}
"""Nor do these, from a phone that nobody has signed in on yet."""


_ASIDE_BEFORE = re.compile(
    r"^(?:(?:CLEAN|NEW|FRESH) GLOVES(?: ON)?|GLOVES ON)(?: (?:AND|YES))?(?: |$)"
)
_ASIDE_AFTER = re.compile(
    r"(?:^| )(?:(?:AND|WITH) )?(?:(?:CLEAN|NEW|FRESH) GLOVES(?: ON)?|GLOVES ON)$"
    r"| (?:SISTER|SIR|MADAM|MATRON)$"
)
_HELLO = frozenset(
    {"HELLO", "HI", "HEY", "GOODMORNING", "MORNING", "DEAR", "SIR", "MADAM", "MADAME"}
)
_SHORT = frozenset({"HI", "HEY"})
_GOOD_DAY = {("GOOD", each) for each in ("MORNING", "AFTERNOON", "EVENING", "DAY", "NIGHT")}
_TO_WHOM = _TITLES | _HELLO | {"THERE", "ALL", "TEAM", "EVERYONE", "EVERYBODY"}


def is_courtesy(typed: Typed, name: str, ours: Collection[str] = ()) -> bool:
    """Whether a text says but thanks, a sign or who sends it: no answer, and no miss either."""
    if typed.asks or not typed.text.strip() or not {*typed.words}.isdisjoint(ours):
        return False
    said = tuple(word for word in typed.words if word not in POLITE)
    return not said or set(said) <= _own(name, ours) or _is_signed(said, name, ours)


def unsigned(typed: Typed, name: str, ours: Collection[str]) -> Typed:
    """Return the same text without the signature of its sender, *name*, on its last line.

    A title or a greeting may bear a name of any form, on a line of its own; at the end of an
    answer none but the sender's. *ours* are words that tell something here, and no name.
    """
    *above, last = typed.lines or ((),)
    if not last or typed.words[-len(last) :] != last:
        return typed
    if above and _is_signed(last, name, ours):
        shorter = replace(typed, lines=(*above,), words=typed.words[: -len(last)])
        shorter = unsigned(shorter, name, ours)
        return replace(shorter, lines=(*shorter.lines, last))
    own = _own(name, ours)
    kept = len(last)
    while kept > 1 and last[kept - 1] in own:
        kept -= 1
    if kept == len(last) or last[:kept][-1:] == ("NOT",):
        return typed
    while kept > 1 and last[kept - 1] in _TITLES | _GREETINGS | _BEFORE:
        kept -= 1
    gone = len(last) - kept
    return replace(typed, lines=(*above, last[:kept]), words=typed.words[:-gone])


def ungreeted(typed: Typed, commands: Collection[str], ours: Collection[str]) -> Typed:
    """Return the same text without the greeting at its head; one that only greets stays.

    YES before a command and its name is one too; elsewhere it may be the answer.
    """
    words, count = typed.words, _greets(typed.words, ours)
    if words[count : count + 1] == ("YES",) and _is_command(words[count + 1 :], commands, ours):
        count += 1
    if not 0 < count < len(words) or _may_be_a_lot(words, ours):
        return typed
    lines, gone = [], count
    for line in typed.lines:
        lines.append(line[gone:])
        gone -= min(gone, len(line))
    return replace(typed, lines=tuple(filter(None, lines)), words=words[count:])


def without_asides(typed: Typed) -> Typed:
    """Return the same text without CLEAN GLOVES ON around an answer, and SISTER at its end."""
    if sum(typed.lines, ()) != typed.words:
        return typed
    lines = [_bare_line(line) for line in typed.lines]
    words = tuple(sum(lines, ()))
    if not words or words == typed.words:
        return typed
    return replace(typed, lines=tuple(filter(None, lines)), words=words)


def _bare_line(line: tuple[str, ...]) -> tuple[str, ...]:
    said = _ASIDE_AFTER.sub("", _ASIDE_BEFORE.sub("", " ".join(line)))
    return tuple(said.split())


def _may_be_a_lot(words: Sequence[str], ours: Collection[str]) -> bool:
    """HI 4417: S18 looks for a lot by all its letters."""
    begins, figure = words[:2]
    is_named = figure in ours or TAG.fullmatch(figure) is not None
    return begins in _SHORT and figure[:1].isdecimal() and not is_named


def _greets(words: Sequence[str], ours: Collection[str]) -> int:
    """How many of them, from the first on, do no more than that."""
    count = 0
    while count < len(words):
        if words[count : count + 2] in _GOOD_DAY:
            count += 2
        elif words[count] not in ours and words[count] in (_TO_WHOM if count else _HELLO):
            count += 1
        else:
            break
    return count


def _is_command(words: Sequence[str], commands: Collection[str], ours: Collection[str]) -> bool:
    named = words[1:2]
    return (
        words[:1] != ()
        and words[0] in commands
        and any(each in ours or TAG.fullmatch(each) for each in named)
    )


def _own(name: str, ours: Collection[str]) -> set[str]:
    """The words of a name; a figure in it, or a word that tells something, is none."""
    return {word for word in fold(name).split() if _LETTERS.search(word) and word not in ours}


def _is_signed(line: tuple[str, ...], name: str, ours: Collection[str]) -> bool:
    """THANK YOU SISTER, KIND REGARDS ANN, SR ANN: at most one word that is known to nobody."""
    own = _own(name, ours)
    marks = [word for word in line if word in _TITLES | _GREETINGS]
    small = _TITLES | _GREETINGS | _BEFORE | POLITE | own
    rest = [word for word in line if word not in small]
    if not rest:
        return bool(marks) or not own.isdisjoint(line)
    return len(rest) == 1 and bool(marks) and rest[0] == line[-1] and _may_be_a_name(rest[0], ours)


def _may_be_a_name(word: str, ours: Collection[str]) -> bool:
    alone = Typed(word, ((word,),), (word,))
    tells = may_be_damage(alone) or may_be_elsewhere(alone) or words_of_hurt(alone)
    is_word = word in {*ours, *_SAYS_ELSE} or _VERB.fullmatch(word)
    return word.isalpha() and len(word) > 1 and not is_word and not tells

"""Answers to several questions in one text, each with the name of its own device (S10)."""

from dataclasses import replace

from flows.answer.draft import Draft
from flows.answer.landing import cleanings_here
from flows.catalogue import FLOWS
from flows.cycle.interrupt import told_plainly
from flows.parts.clinic import Thread
from flows.replies import NotUnderstood
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold_ours
from flows.strip_test.digits import SETS_OF_DIGITS

Words = tuple[str, ...]

TWO = 2
_BETWEEN = POLITE | {"AND"}
_AROUND_BOTH = _BETWEEN | {
    *("BOTH", "OF", "THEM", "THE", "PROBES", "DEVICES", "WE", "I", "THEY", "HAVE", "HAS", "BEEN"),
    *("WERE", "WAS", "ARE", "IS", "TODAY", "JUST", "ON", "PATIENT", "SORRY"),
}
_BAD = frozenset({"out", "moved", "again", "damaged", "stained"})
"""What can only make things worse."""


def each_by_name(draft: Draft, typed: Typed) -> tuple[Typed, ...]:
    """V1 COVERED, V2 COVERED as two texts; none where any part of it is not read."""
    others = _each_strip(typed) or _both_here(draft, typed)
    if others:
        return others
    here = _led_here(draft)
    starts = [at for at, word in enumerate(typed.words) if word in here]
    names = {typed.words[at] for at in starts}
    if len(names) < TWO or len(names) != len(starts) or starts[0] != 0:
        return _of_all(draft, typed, here)
    ends = (*starts[1:], len(typed.words))
    parts = [_part(typed, start, end) for start, end in zip(starts, ends, strict=True)]
    is_read = all(answers_by_name(draft, each) for each in parts)
    return tuple(parts) if is_read else _of_all(draft, typed, here)


def _both_here(draft: Draft, typed: Typed) -> tuple[Typed, ...]:
    """S7, S16: WE USED BOTH PROBES, BOTH DAMAGED, where a site has two."""
    labels = tuple(map(fold_ours, draft.clinic.devices))
    if "BOTH" not in typed.words or len(labels) != TWO or not {*labels}.isdisjoint(typed.words):
        return ()
    words = draft.vocabulary(draft.person).words
    facts = {fold_ours(words[slug]): slug for slug in ("used", "fault", "damaged", "stained")}
    said = [word for word in typed.words if word not in _AROUND_BOTH]
    told = [word for word in said if word in facts]
    codes = [word for word in said if word not in facts]
    if len(told) != 1 or not all(map(str.isdecimal, codes)):
        return ()
    if facts[told[0]] in {"used", "fault"}:
        return (_said(typed, (told[0], labels[0], "AND", labels[1], *codes)),)
    return () if codes else tuple(_said(typed, (each, told[0])) for each in labels)


def _each_strip(typed: Typed) -> tuple[Typed, ...]:
    """S4: T1 2, T2 5: each digit is of the tag before it; what tells of no fail comes last."""
    words = [word for word in typed.words if word not in _BETWEEN]
    pairs = [(tag, digit) for tag, digit in zip(words[::2], words[1::2], strict=False)]
    is_each = len(words) == TWO * len(pairs) and all(map(_is_of_a_strip, pairs))
    if not is_each or len(pairs) < TWO:
        return ()
    return tuple(_said(typed, each) for each in sorted(pairs, key=_is_a_pass))


def _is_a_pass(pair: Words) -> bool:
    """1, or 4 or 7 where that is the first of the next digits."""
    return pair[1] in {str(first) for first in range(1, 3 * SETS_OF_DIGITS, 3)}


def _is_of_a_strip(words: Words) -> bool:
    if len(words) != TWO or TAG.fullmatch(words[0]) is None:
        return False
    return len(words[1]) == 1 and words[1].isdecimal()


def _of_all(draft: Draft, typed: Typed, here: dict[str, Thread]) -> tuple[Typed, ...]:
    """S3: V1 AND V2 OUT, BOTH MOVED: bad news is taken of each; V1 MOVED, V2 NOT of the one."""
    words = _but_one(typed.words, here)
    named = [word for word in dict.fromkeys(words) if word in here]
    is_both = "BOTH" in words and len(here) == TWO and not named
    at = [count for count, word in enumerate(words) if word in {*named, "BOTH"}]
    joined = words[at[0] : at[-1] + 1] if at else ()
    rest = tuple(word for word in words if word not in {*named, "BOTH", "AND"})
    if not {*named, "BOTH", "AND"}.issuperset(joined):
        return ()
    names = list(here) if is_both else named
    told = told_plainly(replace(draft.situation(), typed=_said(typed, rest)))
    is_of_several = len(names) >= TWO or words != typed.words
    if told not in _BAD or not is_of_several:
        return ()
    return tuple(_said(typed, (each, *rest)) for each in names)


def _but_one(words: Words, here: dict[str, Thread]) -> Words:
    """Without V2 NOT, or NOT V2, at its end."""
    if len(here.keys() & set(words)) < TWO or {*words[-2:]} - here.keys() != {"NOT"}:
        return words
    return words[:-3] if words[-3] in {"BUT", "AND"} else words[:-2]


def answers_by_name(draft: Draft, typed: Typed) -> bool:
    """Whether it begins with the name of a device in hand and answers what is asked of that.

    S4: a strip's digit behind its tag is of no other question.
    """
    if _is_of_a_strip(typed.words):
        return True
    label, *rest = typed.words or ("",)
    thread = _led_here(draft).get(label)
    step = FLOWS[thread.top.flow].step(thread.top.step) if thread else None
    if thread is None or step is None or not rest:
        return False
    said = replace(draft.situation(thread), typed=replace(typed, words=tuple(rest)))
    return not isinstance(step.reads(said), NotUnderstood)


def _led_here(draft: Draft) -> dict[str, Thread]:
    return {fold_ours(cycle.device): each for each, cycle in cleanings_here(draft)}


def _part(typed: Typed, start: int, end: int) -> Typed:
    while typed.words[end - 1] in _BETWEEN:
        end -= 1
    return _said(typed, typed.words[start:end])


def _said(typed: Typed, words: Words) -> Typed:
    return replace(typed, text=" ".join(words), lines=(words,), words=words)

"""A tag as it stands on a label: its check letter is read away, or asked back where wrong."""

import re
from collections.abc import Collection, Sequence
from dataclasses import replace

from flows.answer.draft import Draft
from flows.calculations.check_code import check_letter, label_of
from flows.parts.text import Text, say
from flows.replies.tags import TAG
from flows.replies.typed import Typed, fold_ours

NAMES_CONTAINERS = frozenset({"open", "pour", "test", "discard", "state", "mix", "fault"})
"""Commands behind which a tag may stand."""

_LOOKS_LIKE = {"0": "O", "1": "I"}
_JOINS = re.compile("[,;+&/]")
_ENDS = frozenset(f"-{figure}" for figure in _LOOKS_LIKE)


def tags_read(draft: Draft, typed: Typed, command: str) -> Typed | Text:
    """The same text with bare tags, T1 for T1-K, where it names containers; or what is asked.

    A lot or a patient code may look like a label: they are let be.
    """
    words = draft.vocabulary(draft.person).words
    dips = fold_ours(words["dip"]) in typed.words
    if command not in NAMES_CONTAINERS and not dips and fold_ours(words["in"]) not in typed.words:
        return typed
    tags = {fold_ours(tag) for tag in (*draft.clinic.containers, *draft.clinic.strips)}
    spaced = bool(command) and command != "fault"
    return _bare(typed, tags, apart=bool(command) or dips, spaced=spaced or dips)


def devices_read(draft: Draft, typed: Typed) -> Typed:
    """S7: USED V1 0412 for USED V1-MG7N 0412, V 1 and PROBE 1: whatever is on the tag names it.

    CHECK has its own reading of a code: an old one is none.
    """
    words = draft.vocabulary(draft.person).words
    told = {fold_ours(words[slug]) for slug in ("used", "fault")}
    checks = typed.words[:1] == (fold_ours(words["check"]),)
    if not checks and told.isdisjoint(typed.words):
        return typed
    labels = [*map(fold_ours, draft.clinic.devices)]
    lines = tuple(by_label(line, labels, codes=not checks) for line in typed.lines)
    return replace(typed, lines=lines, words=by_label(typed.words, labels, codes=not checks))


def by_label(words: Sequence[str], labels: Sequence[str], *, codes: bool) -> tuple[str, ...]:
    """*words* with V1 for V-1, V 1 or PROBE 1, and for its release code where *codes* name it."""
    read: list[str] = []
    for word in words:
        behind = [each for each in labels if read and _is_apart(read[-1], word, each)]
        if len(behind) == 1:
            read[-1] = behind[0]
        else:
            named = [word.replace("-", ""), *([label_of(word)] if codes else [])]
            read.append(next((each for each in named if each in labels), word))
    return tuple(read)


def _is_apart(before: str, figure: str, label: str) -> bool:
    """V 1, or PROBE 1, which may be of several."""
    is_of_it = figure.isdecimal() and label.endswith(figure) and label[: -len(figure)].isalpha()
    return is_of_it and before in {"PROBE", label[: -len(figure)]}


def _bare(typed: Typed, tags: Collection[str], *, apart: bool, spaced: bool) -> Typed | Text:
    """*apart*: T1,B1 are two tags. *spaced*: a letter by itself behind a tag is its check letter.

    Behind IN it may be a C, and FAULT T1 A BIT CLOUDY names none.
    """
    bare: list[str] = list(typed.words[:1])
    words = typed.words[1:]
    read = [*map(_as_letter, _parted(words) if apart else words)]
    for word, after in zip(read, [*read, ""][1:], strict=True):
        tag, letter = word[:-1].removesuffix("-"), word[-1]
        is_letter = spaced and word.isalpha() and len(word) == 1
        if is_letter and bare[-1] in tags and not _is_a_word(bare[-1], word, after):
            tag = bare.pop()
        is_label = tag in tags and letter.isalpha()
        if is_label and letter != check_letter(tag):
            return _another_letter(tag)
        bare.append(tag if is_label else word)
    return replace(typed, words=tuple(bare))


def _is_a_word(tag: str, word: str, after: str) -> bool:
    """POUR J1 A BIT LATE: before another word A and I are words, unless it is its letter."""
    goes_on = len(after) > 1 and after.isalpha()
    return word in {"A", "I"} and goes_on and word != check_letter(tag)


def _parted(words: Sequence[str]) -> list[str]:
    """T1,B1 without a space is two tags; nothing else is parted."""
    parted = [(word, _JOINS.split(word)) for word in words]
    return [
        part
        for word, parts in parted
        for part in (parts if all(map(TAG.fullmatch, parts)) else [word])
    ]


def _as_letter(word: str) -> str:
    """Behind a hyphen stands a letter: J2-0 is J2-O as it was read off a label."""
    return f"{word[:-1]}{_LOOKS_LIKE[word[-1]]}" if word[-2:] in _ENDS else word


def _another_letter(tag: str) -> Text:
    return say(
        "hearing.label",
        "The letter behind {tag} is not the one on its label. Please read the label again and "
        "send it once more.",
        tag=tag,
    )

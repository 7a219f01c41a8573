"""One word or number out of a few; a near miss is asked back."""

import re
from collections.abc import Collection, Mapping
from typing import TypeVar

from flows.replies import NotUnderstood
from flows.replies.plainly import SEEN
from flows.replies.typed import POLITE, Typed, fold_ours

T = TypeVar("T")

_BESIDE = POLITE | {"YES", "DONE", "IT", "ITS", "IT'S", "IS", "ALL", "FULLY"}
"""Words that leave what they stand beside as it is: YES, IT IS DRY; IS IT DRY asks."""

MOST_BESIDE_A_SLIP = 2
"""PUT ON GLOVES is no slip of OUT, nor STILL NOT DRY one of SPILL."""
_HARM = SEEN | {
    *("HOLE", "HOLES", "HOLED", "TEAR", "TEARS", "TORN", "CUT", "CUTS", "SPLIT", "PEEL", "CHIP"),
    *("DENT", "BENT", "WORN", "RUST", "LEAK", "LEAKING"),
    *("GOO", "GOOEY", "GOOP", "GUNK", "GEL", "MUD", "SOIL", "DIRT", "DAMP", "CRUST"),
}
"""Damage or soil, as it is seen: HOLE is no slip of WHOLE, nor GOO the beginning of GOOD."""

_SHORTEST = 2
_SHORTEST_WITH_SLIP = 3


def choose(
    typed: Typed, options: Mapping[str, T], also: Collection[str] = ()
) -> T | NotUnderstood:
    """Find the one option that was typed, whole or shortened beyond doubt (S10).

    `also` are the other words that mean something just now: an option is never shortened to
    what one of them begins with. A number must be typed in full.
    """
    names = {fold_ours(option): option for option in options}
    commands = {fold_ours(word) for word in also}
    said = _said(typed, names)
    if isinstance(said, NotUnderstood):
        return said
    meant = said if said in names else _shortened(said, names, options, commands)
    return meant if isinstance(meant, NotUnderstood) else options[names[meant]]


def nearest(word: str, names: Collection[str]) -> NotUnderstood:
    """Say which name the word is one slip away from, if it is exactly one."""
    long = [name for name in _may_mean(word, names) if len(name) >= _SHORTEST_WITH_SLIP]
    near = [name for name in long if is_one_slip(word, name)]
    if not near:
        return NotUnderstood("word")
    return NotUnderstood("near", near=near[0]) if len(near) == 1 else NotUnderstood("ambiguous")


def _may_mean(word: str, names: Collection[str]) -> Collection[str]:
    """A word of harm may be cut short, DAMAGE for DAMAGED; it never means a good answer."""
    return [name for name in names if name in _HARM] if word in _HARM else names


def few_words(typed: Typed, labels: Collection[str] = ()) -> bool:
    """Whether it may be one word with a slip: beside figures, labels and tags stands one other."""
    said = typed.without(*labels).words
    return len([word for word in said if not re.search("[0-9]", word)]) <= MOST_BESIDE_A_SLIP


def is_one_slip(typed: str, meant: str) -> bool:
    """Whether one letter was swapped with the next, left out, put in or mistaken."""
    same = 0
    while same < min(len(typed), len(meant)) and typed[same] == meant[same]:
        same += 1
    left, right = typed[same:], meant[same:]
    if not left and not right:
        return False
    swapped = left[:2] == right[:2][::-1] and left[2:] == right[2:]
    return swapped or left[1:] == right[1:] or left[1:] == right or left == right[1:]


def _said(typed: Typed, names: Collection[str]) -> str | NotUnderstood:
    """Return the one thing said, polite words apart."""
    if not typed.words:
        return NotUnderstood("empty")
    if typed.asks or typed.asks_first:
        return NotUnderstood("question")
    whole = " ".join(typed.words)
    if whole in names:
        return whole
    beside = POLITE if typed.words[0] == "IS" else _BESIDE
    said = dict.fromkeys(word for word in typed.words if word in names or word not in beside)
    if len(said) == 1:
        return next(iter(said))
    # "not covered", "dry or wet": a word among others may mean its opposite.
    return NotUnderstood("ambiguous" if len(said.keys() & names) > 1 else "word")


def _shortened(
    said: str, names: Mapping[str, str], options: Mapping[str, T], commands: Collection[str]
) -> str | NotUnderstood:
    if said in commands:
        return NotUnderstood("word")
    begun = [name for name in _may_mean(said, names) if name.startswith(said)]
    if not begun or len(said) < _SHORTEST or any(letter.isdecimal() for letter in said):
        return nearest(said, names)
    means_one = all(options[names[name]] == options[names[begun[0]]] for name in begun)
    if means_one and not any(command.startswith(said) for command in commands):
        return begun[0]
    return NotUnderstood("ambiguous")

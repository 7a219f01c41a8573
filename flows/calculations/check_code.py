"""Release codes and their check character; tags of containers and their check letter."""

import re
from collections.abc import Callable, Iterable
from typing import Literal

ALPHABET = "34679CDFGHJKMNPRTWXY"
"""What the last four characters are drawn from.

Left out because they are read for one another on a wet tag: 0 O Q, 1 I L, 2 Z, 5 S, 8 B, U V.
Left out so that no tag spells a word: A E. The one pair left that a hand may blur, 6 and G,
the check character catches, as it does every single misreading.
"""

_VALUES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_LETTERS = _VALUES[10:]
_LABEL = re.compile("[0-9A-Z]{1,8}")
_CODE = re.compile(rf"([0-9A-Z]{{1,8}})([{ALPHABET}]{{4}})")
_FORGIVEN = re.compile(r"[\s.,_/()\u2010-\u2015-]+")
_TAIL = 4


def check_character(body: str) -> str:
    """Return the ISO/IEC 7064 MOD 37,36 character of digits and capital letters.

    It shows every single wrong character. Of two different neighbours swapped it misses, at each
    of the 36 values the running sum can have, one pair out of 630, always two that follow each
    other in 0-9A-Z (0 and Z count as such); a swap with the check character itself is missed
    only for 0 with 1, which no code of ours ends in. Source: ISO/IEC 7064:2003, hybrid systems;
    the shares were counted over all cases.
    """
    return _VALUES[_hybrid(map(_VALUES.index, body), len(_VALUES))]


def check_letter(tag: str) -> str:
    """Return the ISO/IEC 7064 MOD 27,26 letter of a tag, its figures standing for A to J.

    A letter, because a figure behind T1 would make another tag of it. One wrong letter or one
    wrong figure shows. Source: ISO/IEC 7064:2003, hybrid systems; that figures stand for letters
    is ours: each for one of its own, so nothing is lost.
    """
    values = (int(each) if each.isdecimal() else _LETTERS.index(each) for each in tag)
    return _LETTERS[_hybrid(values, len(_LETTERS))]


def labelled_tag(tag: str) -> str:
    """Return a tag as it is written on its label: T1 with its check letter behind.

    Source: ISO/IEC 7064:2003 MOD 27,26.
    """
    return f"{tag}-{check_letter(tag)}"


def _hybrid(values: Iterable[int], modulus: int) -> int:
    """The check value of the hybrid system MOD (modulus + 1), modulus."""
    running = modulus
    for value in values:
        total = (running + value) % modulus or modulus
        running = total * 2 % (modulus + 1)
    return (1 - running) % modulus


def release_code(label: str, draw: Callable[[int], int]) -> str:
    """Make a code as V1-K7P4: label, three drawn characters, check character.

    `draw(n)` gives a whole number from 0 below n. The third is drawn among those whose check
    character can be read as well: 4 at least of the 20, since no two share one and 16 of the
    36 are barred. Raises ValueError for a label that is not 1 to 8 letters and digits.
    Source: ISO/IEC 7064:2003 MOD 37,36.
    """
    name = label.upper()
    if not _LABEL.fullmatch(name):
        raise ValueError(f"{label!r} is no device label; give 1 to 8 letters and digits, as V1")
    drawn = "".join(ALPHABET[draw(len(ALPHABET))] for _ in range(2))
    readable = [third for third in ALPHABET if check_character(name + drawn + third) in ALPHABET]
    drawn += readable[draw(len(readable))]
    return f"{name}-{drawn}{check_character(name + drawn)}"


def code_problem(text: str) -> Literal["malformed", "check"] | None:
    """Say what is wrong with a code as typed: its form, its check character, or nothing.

    Case, spaces, points and the place of the hyphen are forgiven.
    Source: ISO/IEC 7064:2003 MOD 37,36.
    """
    code = _bare(text)
    if not _CODE.fullmatch(code):
        return "malformed"
    return None if check_character(code[:-1]) == code[-1] else "check"


def label_of(code: str) -> str:
    """Return the device label that a code begins with; empty for what is no code."""
    return "" if code_problem(code) else _bare(code)[:-_TAIL]


def _bare(text: str) -> str:
    return _FORGIVEN.sub("", text).upper()

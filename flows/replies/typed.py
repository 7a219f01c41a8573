"""A text tidied once: every reader of answers looks at the same words."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

LONGEST = 1600
"""Characters kept of a text, the gateway's limit for one message. Source: from memory."""

POLITE = frozenset({"OK", "OKAY", "PLEASE", "PLS", "THANKS", "THANK", "YOU", "THX", "NOW"})
"""Words that change no answer; where one of them is an answer, the answer comes first."""

_MARK = re.compile(r"\s*(?:--|__|SENT FROM\b)")
"""How a line begins from which on a phone has signed a text. Source: two hyphens as in mail (RFC
3676, section 4.3); the others from memory."""
_ASKS_FIRST = re.compile(r"\W*\?|\W*\w+\s*\?(?!\w)")
TAKES_BACK = frozenset({"NO", "NOT", "WAIT", "WRONG", "SORRY", "OOPS", "MISTAKE"})
_SAME_AS = str.maketrans(
    {
        "\u00ba": "\u00b0",  # the ordinal sign beside the degree sign on many keyboards
        "\u00b7": ".",
        "\u066b": ".",
        "\u3002": ".",
        "\u060c": ",",
        "\u3001": ",",
        "\u061f": "?",
        "\u2010": "-",
        "\u2011": "-",
        "\u2012": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2212": "-",
    }
)


_PLAIN_ASCII = str.maketrans({chr(code): " " for code in (*range(0x20), 0x7F)})
"""All that folding does to most texts, at once: what cannot be seen parts words."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What somebody typed."""

    text: str
    """As it came, cut at `LONGEST`."""
    lines: tuple[tuple[str, ...], ...]
    """The words of every line that has any."""
    words: tuple[str, ...]
    """Upper case, no accents, no punctuation at the ends; a signature below is left out."""
    asks: bool = False
    """It ends with a question mark."""
    asks_first: bool = False
    """OUT? 95, or ? DRY: its first word is asked, whatever stands behind it."""

    def after(self, count: int) -> "Typed":
        """Return the same text from its word number `count` on: what follows a command."""
        return replace(self, words=self.words[count:])

    def without(self, *words: str) -> "Typed":
        """Return the same text without these words, as for a device label that was read."""
        gone = {fold(word) for word in words}
        return replace(self, words=tuple(word for word in self.words if word not in gone))


def tidy(raw: str) -> Typed:
    """Tidy a text: width, accents, case, digits of any script, punctuation, signature."""
    text = raw[:LONGEST]
    folded = [fold(line) for line in text.splitlines()]
    said = folded[: _signed_at(folded)]
    return Typed(
        text=text,
        lines=_read(folded),
        words=tuple(word for line in _read(said) for word in line),
        asks_first=bool(said) and _ASKS_FIRST.match(said[0]) is not None,
        asks=any(line.rstrip(" .!\"')").endswith("?") for line in said),
    )


def fold(text: str) -> str:
    """Fold what should compare as the same to the same: case, width, accents, digits."""
    if text.isascii():
        return text.translate(_PLAIN_ASCII).upper()
    return "".join(map(_plain, text.translate(_SAME_AS))).upper()


@lru_cache(maxsize=4096)
def fold_ours(word: str) -> str:
    """The same for a word, a label or a tag of ours: unlike what people type it may be kept."""
    return fold(word)


@lru_cache(maxsize=2048)  # one letter at a time: nothing that anybody wrote is kept
def _plain(character: str) -> str:
    if character.isdecimal():
        return str(unicodedata.decimal(character))
    kind = unicodedata.category(character)
    if kind in {"Cf", "Me"}:
        return ""
    if kind[0] in "CZ":
        return " "
    wide = "".join(mark for mark in unicodedata.normalize("NFKD", character) if not _accent(mark))
    # A raised 2 or a half must never grow onto the number before it: 21 1/2 is not 211.
    return f" {wide} " if any(part.isdecimal() for part in wide) else wide


def _accent(mark: str) -> bool:
    # Only these: signs of Indic and Arabic scripts are letters to their readers.
    return "\u0300" <= mark <= "\u036f" or "\ufe00" <= mark <= "\ufe0f"


def _words(line: str) -> tuple[str, ...]:
    apart = re.sub(r"=|(?<=[^\W\d_]):", " ", line)
    return tuple(bare for bare in map(_bare, apart.split()) if bare)


def _bare(word: str) -> str:
    if word.isalnum():
        return word
    kept = [at for at, character in enumerate(word) if _is_kept(character)]
    if not kept:
        return ""
    first = kept[0]
    if word[first].isdecimal() and _is_sign(word[:first]):
        first -= 1
    return word[first : kept[-1] + 1]


def _is_kept(character: str) -> bool:
    return unicodedata.category(character)[0] in "LMN" or character in "\u00b0%"


def _is_sign(before: str) -> bool:
    """Whether punctuation before a digit belongs to it: -3 and .5, but not ...5 or --5."""
    return before[-1:] in {"-", ".", ","} and before[-2:-1] != before[-1:]


def _read(folded: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    return tuple(words for line in folded if (words := _words(line)))


def _signed_at(folded: Sequence[str]) -> int:
    """From which line on a text is signed; its length where it is not.

    What only stands on a line of its own may turn the answer above it: small stain at the tip.
    """
    marks = (at for at, line in enumerate(folded) if at and _MARK.match(line))
    first = next(marks, len(folded))
    below = [word for line in _read(folded[first:]) for word in line]
    may_tell = any(word in TAKES_BACK or re.search("[0-9]", word) for word in below)
    return len(folded) if may_tell else first

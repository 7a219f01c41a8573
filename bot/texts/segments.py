"""Septets and segments of a text, and what is put in place of what the alphabet lacks.

Source: 3GPP TS 23.038, default alphabet and its extension table. Its code 0x09 is the capital C
with cedilla: tables that give the small one are wrong, and a small one sends the whole text in
another code, 70 characters a segment.
"""

import unicodedata
from dataclasses import dataclass

ONE_SEPTET = frozenset(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?¡"
    "ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà"
)
TWO_SEPTETS = frozenset("\f^{}\\[~]|€")
_ALPHABET = ONE_SEPTET | TWO_SEPTETS
ALPHABET = _ALPHABET - frozenset("\f")
"""What is sent as it is; a form feed becomes a space."""

_ALONE = 160
"""Septets of a text that goes by itself. Source: 3GPP TS 23.040, section 9.2.3.24.1."""
_BEYOND_THE_FIRST_PLANE = 0xFFFF


@dataclass(frozen=True, slots=True)
class Segments:
    gsm: bool
    """False: one character at least is outside the alphabet, and the text goes as UCS-2."""
    septets: int
    """Septets, or 16-bit units where the text goes as UCS-2."""
    count: int


def segments(text: str) -> Segments:
    """Count as a gateway does; a character of two units never straddles two segments."""
    letters = set(text)
    gsm = letters <= _ALPHABET
    septets = len(text) + sum(map(text.count, letters & TWO_SEPTETS))
    if gsm and septets <= _ALONE:
        return Segments(gsm, septets, 1)
    units = [_septets(letter) if gsm else _sixteen_bits(letter) for letter in text]
    alone, in_a_chain = (_ALONE, 153) if gsm else (70, 67)
    if sum(units) <= alone:
        return Segments(gsm, sum(units), 1)
    count, room = 1, in_a_chain
    for unit in units:
        if unit > room:
            count, room = count + 1, in_a_chain
        room -= unit
    return Segments(gsm, sum(units), count)


def _septets(letter: str) -> int:
    return 2 if letter in TWO_SEPTETS else 1


def _sixteen_bits(letter: str) -> int:
    return 2 if ord(letter) > _BEYOND_THE_FIRST_PLANE else 1


_INSTEAD = str.maketrans(
    {
        **dict.fromkeys("\u2018\u2019\u201a\u201b\u02bc\u2032\u00b4`", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u00ab\u00bb", '"'),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u2022\u2192", "-"),
        **dict.fromkeys("\u00b0\u00ba", ""),  # "20 C": a degree sign costs half the text
        **dict.fromkeys("\u00b5\u03bc", "u"),
        **dict.fromkeys("\u2028\u2029\u0085", "\n"),
        **dict.fromkeys("\t\f\v", " "),
        "\u2026": "...",
        "\u2044": "/",
        "\u00d7": "x",
        "\u00b7": ".",
        "\u0131": "i",
        "\u0111": "d",
        "\u0110": "D",
        "\u0142": "l",
        "\u0141": "L",
        "\u0153": "oe",
        "\u0152": "OE",
    }
)


def to_gsm7(text: str) -> str:
    """Keep what the alphabet has; put what reads the same in place of the rest, or "?".

    Done before a text is stored: what the record shows is what was sent.
    """
    if ALPHABET.issuperset(text):
        return text
    whole = unicodedata.normalize("NFC", text).translate(_INSTEAD)
    return "".join(letter if _has(letter) else _nearest(letter) for letter in whole)


def _has(letter: str) -> bool:
    return letter in ONE_SEPTET or letter in TWO_SEPTETS


def _nearest(letter: str) -> str:
    if letter.isdecimal():
        return str(unicodedata.decimal(letter))
    kind = unicodedata.category(letter)
    if kind in {"Cc", "Cf", "Mn", "Me"}:
        return ""
    bare = unicodedata.normalize("NFKD", letter).translate(_INSTEAD)
    return "".join(filter(_has, bare)) or "?"

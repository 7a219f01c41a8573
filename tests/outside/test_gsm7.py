"""The SMS alphabet and its arithmetic against the published table and two reference libraries.

Sources: 3GPP TS 23.038, 6.2.1 (default alphabet, 128 codes of which 0x1B leads to the extension
table: 127 characters) and 6.2.1.1 (extension table: 10 characters); the libraries `gsm0338` (the
codec) and `smsutil` (the splitting), each written by others from that table.
"""

import gsm0338
import pytest
import smsutil
from hypothesis import given
from hypothesis import strategies as st

from bot.texts.catalogue import languages
from bot.texts.render import PLACEHOLDER
from bot.texts.segments import ONE_SEPTET, TWO_SEPTETS, segments
from tests.texts.measure import TEXTS, at_its_longest

ESCAPE = "\x1b"
"""Both libraries take the code that leads to the extension table for a character."""

EVERYTHING = [chr(code) for code in range(0x3000) if chr(code) != ESCAPE]
LETTERS = st.sampled_from(sorted(ONE_SEPTET | TWO_SEPTETS)) | st.characters(
    exclude_categories=["Cs"], exclude_characters=ESCAPE
)


def encodes(letter: str) -> int | None:
    """How many septets the reference codec takes for it; None where it cannot."""
    try:
        return len(letter.encode("gsm03.38"))
    except UnicodeEncodeError:
        return None


def test_there_are_as_many_characters_as_in_the_published_table() -> None:
    assert len(ONE_SEPTET) == 127
    assert len(TWO_SEPTETS) == 10


def test_the_reference_codec_knows_the_same_characters_at_the_same_cost() -> None:
    ours = dict.fromkeys(ONE_SEPTET, 1) | dict.fromkeys(TWO_SEPTETS, 2)
    theirs = {letter: cost for letter in EVERYTHING if (cost := encodes(letter)) is not None}

    assert theirs == ours


def test_code_9_is_the_capital_c_with_cedilla() -> None:
    """Source: 3GPP TS 23.038, 6.2.1; a mapping by another body has the small letter there."""
    assert gsm0338.Codec().decode(b"\x09")[0] == "\u00c7"
    assert segments("\u00c7").gsm
    assert not segments("\u00e7").gsm


def test_a_character_of_two_septets_never_straddles_two_segments() -> None:
    """306 septets would fill two segments of 153, had they not to be whole characters."""
    straddling = "a" * 152 + "\u20ac" + "a" * 152

    assert len(smsutil.split(straddling).parts) == 3
    assert segments(straddling).count == 3


@given(st.text(LETTERS, min_size=1, max_size=330))
@pytest.mark.parametrize("filler", ["", "a" * 120])
def test_segments_are_counted_as_the_reference_library_splits(filler: str, text: str) -> None:
    sent = filler + text

    measured = segments(sent)

    assert measured.gsm == smsutil.is_valid_gsm(sent)
    assert measured.count == len(smsutil.split(sent).parts)


@pytest.mark.parametrize("language", languages())
def test_every_text_is_one_segment_with_its_longest_values(language: str) -> None:
    longest = {slug: at_its_longest(language, slug) for slug in TEXTS}

    too_long = {
        slug: text
        for slug, text in longest.items()
        if len(text.encode("gsm03.38")) > 160 or len(smsutil.split(text).parts) > 1
    }

    assert too_long == {}


@pytest.mark.parametrize("language", languages())
def test_no_longest_value_is_unknown(language: str) -> None:
    still_open = [slug for slug in TEXTS if PLACEHOLDER.search(at_its_longest(language, slug))]

    assert still_open == []

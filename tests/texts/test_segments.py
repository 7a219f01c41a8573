"""What is stored is what the alphabet can carry, and it costs what a gateway will charge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.texts.segments import ONE_SEPTET, TWO_SEPTETS, Segments, segments, to_gsm7


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", Segments(gsm=True, septets=0, count=1)),
        ("a" * 160, Segments(gsm=True, septets=160, count=1)),
        ("a" * 161, Segments(gsm=True, septets=161, count=2)),
        ("a" * 158 + "[", Segments(gsm=True, septets=160, count=1)),
        ("a" * 306, Segments(gsm=True, septets=306, count=2)),
        ("a" * 307, Segments(gsm=True, septets=307, count=3)),
        ("\u00e7" * 70, Segments(gsm=False, septets=70, count=1)),
        ("\u00e7" * 71, Segments(gsm=False, septets=71, count=2)),
        ("\U0001f9ea" * 35, Segments(gsm=False, septets=70, count=1)),
        ("a" * 66 + "\U0001f9ea" + "a" * 66, Segments(gsm=False, septets=134, count=3)),
    ],
)
def test_a_text_costs_what_its_characters_cost(text: str, expected: Segments) -> None:
    assert expected == segments(text)


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("don\u2019t \u2018touch\u2019", "don't 'touch'"),
        ("\u201cV1\u201d \u00abV2\u00bb", '"V1" "V2"'),
        ("9\u201310 \u2014 now\u2026", "9-10 - now..."),
        ("20\u00a0C, 20\u202f\u00b0C", "20 C, 20 C"),
        ("Fran\u00e7oise, \u00c7a", "Francoise, \u00c7a"),
        ("Zo\u00eb \u0141ukasz \u0152uvre", "Zoe Lukasz OEuvre"),
        ("e\u0301te\u0301", "\u00e9t\u00e9"),
        ("\u0663\u0660 \uff11", "30 1"),
        ("zero\u200bwidth\ufeff", "zerowidth"),
        ("a\tb\x00\x1bc", "a bc"),
        ("\u65e5\u672c \U0001f9ea\ufe0f", "?? ?"),
        ("lone \ud800 half", "lone ? half"),
        ("5\u00bd x\u00d7y", "51/2 xxy"),
    ],
)
def test_what_the_alphabet_lacks_is_put_in_words_it_has(typed: str, stored: str) -> None:
    assert stored == to_gsm7(typed)


def test_what_the_alphabet_has_is_let_be() -> None:
    whole = "".join(sorted((ONE_SEPTET | TWO_SEPTETS) - {"\f", "`"}))

    assert whole == to_gsm7(whole)


@given(st.text(st.characters(exclude_categories=[])))
def test_whatever_is_typed_fits_the_alphabet_and_stays_once_it_does(typed: str) -> None:
    stored = to_gsm7(typed)

    assert segments(stored).gsm
    assert stored == to_gsm7(stored)

"""The bytes that are hashed, against RFC 8785 (JSON Canonicalization Scheme).

Source: RFC 8785, sections 3.2.2 (string and literals), 3.2.3 (sorting of properties), 3.2.2.3 and
appendix B (integers only: nothing that is recorded has a fraction). From memory.
"""

import json

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from bot.record.entry import Entry, canonical, is_canonical
from flows.parts.events import HolderSignedIn, Sealed, Stamped
from tests.kit.record import NINE

SORTED_IN_SECTION_3_2_3 = [
    ("\r", "Carriage Return"),
    ("1", "One"),
    ("\u0080", "Control"),
    ("\u00f6", "Latin Small Letter O With Diaeresis"),
    ("\u20ac", "Euro Sign"),
    ("\U0001f600", "Emoji: Grinning Face"),
    ("\ufb33", "Hebrew Letter Dalet With Dagesh"),
]


def body_with(heads: dict[str, str]) -> str:
    return Entry("hill", 1, Stamped(Sealed(heads), NINE)).body


def test_properties_are_sorted_by_utf_16_code_units() -> None:
    body = body_with(dict(reversed(SORTED_IN_SECTION_3_2_3)))

    written = json.loads(body, object_pairs_hook=lambda pairs: pairs)
    heads = dict(dict(written)["event"])["heads"]
    assert heads == SORTED_IN_SECTION_3_2_3


def test_a_number_that_json_cannot_hold_exactly_is_refused() -> None:
    """Source: RFC 8785, section 3.2.2.3 and appendix D."""
    event = HolderSignedIn("ph1", 2**53)  # type: ignore[arg-type]

    with pytest.raises(ValueError, match="safe integer"):
        _ = Entry("hill", 1, Stamped(event, NINE)).body


@given(st.text(st.characters(exclude_categories=["Cs"])), st.integers(1 - 2**53, 2**53 - 1))
def test_the_quick_way_writes_what_the_library_writes(text: str, number: int) -> None:
    plain = {text: text, "n": number, "on": True, "off": False, "none": None, "all": [text, 1]}

    assert canonical(plain).encode() == rfc8785.dumps(plain)


def test_strings_are_escaped_as_the_standard_escapes_them() -> None:
    text = json.loads(r'"\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/"')

    body = body_with({"string": text})

    assert r'"string":"' + "\u20ac" + r"$\u000f\nA" + "'" + r'B\"\\\\\"/"' in body


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ('{"literals":[null,true,false]}', True),
        ('{"literals": [null, true, false]}', False),
        ('{"n":0}', True),
        ('{"n":-0}', False),
        ('{"n":9007199254740991}', True),
        ('{"n":1e1}', False),
        ('{"s":"\\u000f"}', True),
        ('{"s":"\\u000F"}', False),
        ('{"s":"\\/"}', False),
        ('{"a":1,"b":2}', True),
        ('{"b":2,"a":1}', False),
    ],
)
def test_one_content_has_one_form(text: str, *, canonical: bool) -> None:
    assert is_canonical(text) is canonical

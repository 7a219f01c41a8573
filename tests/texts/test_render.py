"""A text with its values becomes words that a phone can show."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.texts.render import Renderer
from bot.texts.segments import segments
from flows.parts.text import LONGEST, Text, say

ROME = ZoneInfo("Europe/Rome")
NINE = datetime(2027, 3, 1, 8, tzinfo=UTC)
"""Nine o'clock in Rome, a Monday."""

RENDERER = Renderer()


def shown(text: Text, language: str = "en") -> str:
    return RENDERER.render(text, language, ROME, NINE)


def test_a_value_stands_where_its_name_stood() -> None:
    text = say("t.in", "Put {device} in, then {device} rests.", device="V1")

    assert shown(text) == "Put V1 in, then V1 rests."


@pytest.mark.parametrize(
    ("language", "word"), [("en", "SOAPED"), ("qps", "S\u00d6\u00c4P\u00c9D")]
)
def test_a_word_is_filled_in_by_its_name_in_the_readers_language(language: str, word: str) -> None:
    assert shown(say("t.ask", "Reply {soaped}."), language) == f"Reply {word}."


def test_what_is_asked_for_is_what_is_understood() -> None:
    asked = {name: shown(say("t.word", f"{{{name}}}"), "qps") for name in RENDERER.words}

    assert asked == RENDERER.vocabularies()["qps"].words


def test_a_text_within_a_text_speaks_the_same_language() -> None:
    text = say("t.outer", "{why}: {why}", why=say("month.may", "May"))

    assert shown(text, "qps") == "M\u00e0y: M\u00e0y"


def test_a_text_within_a_text_keeps_its_own_values() -> None:
    inner = say("t.inner", "{device} waits", device="V2")

    assert shown(say("t.outer", "{device}: {why}", device="V1", why=inner)) == "V1: V2 waits"


def test_the_pseudo_language_leaves_no_plain_letter_but_in_values() -> None:
    at = NINE.replace(day=9)

    text = shown(say("weekday.monday", "Mon"), "qps") + shown(say("t.at", "{at}", at=at), "qps")

    assert text == "M\u00f2\u00f19 M\u00e0r 09:00"


def test_a_text_without_a_translation_is_said_in_english() -> None:
    assert shown(say("t.new", "Just written."), "qps") == "Just written."


def test_what_is_said_fits_the_alphabet_whoever_wrote_it() -> None:
    assert shown(say("t.curly", "Don\u2019t touch, 20\u00a0\u00b0C.")) == "Don't touch, 20 C."


def test_a_language_without_a_catalogue_is_served_in_english() -> None:
    assert shown(say("month.may", "May"), "xx") == "May"


def test_a_placeholder_that_was_given_nothing_is_named() -> None:
    with pytest.raises(LookupError, match=r"t.lost: nothing was given for {lost}"):
        shown(say("t.lost", "Where is {lost}?"))


def test_what_a_person_typed_is_never_read_as_a_placeholder() -> None:
    text = say("t.name", "{person} and {device}", person="{device}", device="V1")

    assert shown(text) == "(device) and V1"


@given(st.text(st.characters(exclude_categories=[]), max_size=len(LONGEST["person"])))
def test_a_strange_name_never_raises_and_never_costs_more_than_the_longest(name: str) -> None:
    text = shown(say("t.name", "{person}", person=name))

    assert segments(text).gsm
    assert segments(text).septets <= len(LONGEST["person"])


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Fran\u00e7oise", "Francoise"),
        ("[Ward] {2}\n\\x|y~z^", "(Ward) (2) /x/y-z'"),
        ("  two   words ", "two words"),
        ("\u0152uvre", "OEuvre"),
        ("\u0152" * 12, "OE" * 6),
        ("\u65e5\u672c", "??"),
    ],
)
def test_a_name_is_tamed_to_a_septet_a_character(name: str, said: str) -> None:
    assert shown(say("t.name", "{person}", person=name)) == said


def test_every_language_has_every_word() -> None:
    vocabularies = RENDERER.vocabularies()

    assert {"en", "qps"} <= set(vocabularies)
    assert all(each.words.keys() == RENDERER.words.keys() for each in vocabularies.values())
    assert vocabularies["en"].word("soaped") == "SOAPED"

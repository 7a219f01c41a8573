"""A text is tidied once, and loses nothing that could change its meaning."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies.typed import fold, tidy


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ("ok.", ("OK",)),
        ("1)", ("1",)),
        (" In ", ("IN",)),
        ("21,5 c", ("21,5", "C")),
        ("R\u00e9ponds \u00c9t\u00c9", ("REPONDS", "ETE")),
        ("-3 --3 .5 ...5 (-3)", ("-3", "3", ".5", "5", "-3")),
        ("\u201cOUT\u201d", ("OUT",)),
        ("o\u200but", ("OUT",)),
        ("o\ufe0fut \u00e8 o\ufe00u", ("OUT", "E", "OU")),
        ("out\u00a047", ("OUT", "47")),
        ("\u0928\u0940 \u0939\u093f\u0902", ("\u0928\u0940", "\u0939\u093f\u0902")),
        ("T=21.5 at 12:30", ("T", "21.5", "AT", "12:30")),
    ],
)
def test_words_are_upper_case_without_accents_and_bare_at_the_ends(
    raw: str, words: tuple[str, ...]
) -> None:
    typed = tidy(raw)

    assert words == typed.words
    assert raw == typed.text


def test_a_signature_below_a_short_answer_is_kept_as_a_line_and_not_as_words() -> None:
    typed = tidy("\nOUT 47\n\n--\nSister Ada\n")

    assert typed.words == ("OUT", "47")
    assert typed.lines == (("OUT", "47"), ("SISTER", "ADA"))


@pytest.mark.parametrize(
    "raw", ["OUT\n47", "IN 21.5\nno wait", "COVERED\nnot yet", "one two three four five\nAda"]
)
def test_what_could_change_the_answer_is_no_signature(raw: str) -> None:
    typed = tidy(raw)

    assert typed.words == sum(typed.lines, ())
    assert len(typed.lines) == 2


def test_a_first_line_of_four_words_is_short() -> None:
    assert tidy("OUT V1 47 20.5\nAda").words == ("OUT", "V1", "47", "20.5")


def test_a_question_mark_below_the_answer_does_not_ask() -> None:
    assert tidy("OUT 47 ?!").asks
    assert not tidy("OUT 47\nAda?").asks
    assert not tidy("21?C").asks


def test_a_text_longer_than_the_gateway_carries_is_cut() -> None:
    typed = tidy("7" * 5_000)

    assert typed.words == ("7" * 1_600,)


def test_what_follows_a_command_and_what_is_left_beside_a_label() -> None:
    typed = tidy("used V1 0412")

    assert typed.after(2).words == ("0412",)
    assert typed.without("v1").words == ("USED", "0412")
    assert typed.after(9).words == ()


@given(st.text())
def test_folding_twice_is_folding_once(text: str) -> None:
    once = tidy(text)

    again = tidy("\n".join(" ".join(line) for line in once.lines))

    assert once.lines == again.lines


@given(st.text())
def test_folded_text_holds_no_control_character_and_only_plain_digits(text: str) -> None:
    folded = fold(text)

    assert all(character == " " or character.isprintable() for character in folded)
    assert all(character in "0123456789" for character in folded if character.isdecimal())

"""A text is tidied once, and loses nothing that could change its meaning."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies.courtesy import unsigned
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


@pytest.mark.parametrize(
    "below", ["--\nSister Ada", "-- Sister Ada", "__\nSister Ada", "Sent from my phone"]
)
def test_what_is_marked_as_a_signature_is_kept_as_a_line_and_not_as_words(below: str) -> None:
    typed = tidy(f"\nOUT 47\n\n{below}\n")

    assert typed.words == ("OUT", "47")
    assert typed.lines[0] == ("OUT", "47")
    assert len(typed.lines) == 2


@pytest.mark.parametrize(
    "raw",
    [
        *("OUT\n47", "IN 21.5\n--\nno wait", "COVERED\nnot yet", "1\npatchy", "IN\n-- 47"),
        *("covered\nbut it fell", "good\nsmall stain at the tip", "sound\nDamaged", "dry\nalmost"),
    ],
)
def test_S8_what_could_change_the_answer_is_no_signature(raw: str) -> None:
    typed = tidy(raw)

    assert typed.words == sum(typed.lines, ())
    assert len(typed.lines) == 2


def test_a_text_that_begins_like_a_signature_is_none() -> None:
    assert tidy("-- OUT 47").words == ("OUT", "47")


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ("OUT 47\nAda", ("OUT", "47")),
        ("OUT 47\nSister Ada", ("OUT", "47")),
        ("OUT 47 Ada", ("OUT", "47")),
        ("OUT 47 regards Ada", ("OUT", "47")),
        ("OUT 47\nregards Mary", ("OUT", "47")),
        ("OUT 47\nThank you Sister", ("OUT", "47")),
        ("OUT 47\nNurse 2", ("OUT", "47", "NURSE", "2")),
        ("OUT 47\nSr forgot", ("OUT", "47", "SR", "FORGOT")),
        ("not Ada", ("NOT", "ADA")),
        ("Ada", ("ADA",)),
        ("OUT 47\nAda fell", ("OUT", "47", "ADA", "FELL")),
        ("OUT 47\n--\nAda", ("OUT", "47")),
        ("", ()),
    ],
)
def test_the_name_of_its_sender_below_is_a_signature_too(raw: str, words: tuple[str, ...]) -> None:
    assert unsigned(tidy(raw), "Sister Ada 2", frozenset({"OUT"})).words == words


@pytest.mark.parametrize(
    ("raw", "asks"),
    [
        *(("OUT 47 ?!", True), ("covered\n??", True), ("1\n?", True), ("OUT 47\nAda?", True)),
        *(("OUT 47\n--\nAda?", False), ("21?C", False)),
    ],
)
def test_a_question_mark_asks_on_a_line_of_its_own_too(raw: str, *, asks: bool) -> None:
    assert tidy(raw).asks is asks


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

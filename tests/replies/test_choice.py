"""One out of a few: whole words, safe shortenings, slips asked back (S10)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.choice import choose, is_one_slip
from flows.replies.typed import tidy
from tests.replies.as_typed import COMMANDS, STEPS, WORDS
from tests.replies.hints import hint


@pytest.mark.parametrize(("raw", "expected"), WORDS)
def test_S10_a_word_as_typed(raw: str, expected: str) -> None:
    chosen = choose(tidy(raw), {step: f"={step}" for step in STEPS}, also=COMMANDS)

    assert expected == hint(chosen)


def test_S10_two_names_of_one_answer_are_not_in_doubt_of_each_other() -> None:
    options = {"WASHED": "clean", "WASHING": "clean", "WATCHED": "other"}

    assert choose(tidy("wash"), options) == "clean"
    assert choose(tidy("wa"), options) == NotUnderstood("ambiguous")


def test_a_polite_word_that_is_an_answer_is_one() -> None:
    assert choose(tidy("ok"), {"OK": 1, "DAMAGED": 2}) == 1
    assert choose(tidy("ok damaged"), {"OK": 1, "DAMAGED": 2}) == NotUnderstood("ambiguous")


def test_a_slip_between_two_words_names_neither() -> None:
    assert choose(tidy("drt"), {"DRY": 1, "DIRT": 2}) == NotUnderstood("ambiguous")


def test_a_slip_of_a_two_letter_word_is_not_guessed() -> None:
    assert choose(tidy("oj"), {"OK": 1}) == NotUnderstood("word")


@pytest.mark.parametrize(
    ("seen", "good"), [("hole", "WHOLE"), ("goo", "GOOD"), ("dirt", "DIRTFREE")]
)
def test_S13_what_was_seen_is_no_good_answer_cut_short_or_mistyped(seen: str, good: str) -> None:
    assert choose(tidy(seen), {good: 1, "LATER": 2}) == NotUnderstood("word")


def test_S13_damage_cut_short_is_damage() -> None:
    assert choose(tidy("damage"), {"DAMAGED": 1, "SOUND": 2}) == 1
    assert choose(tidy("dirt"), {"DIRTY": 1, "DRY": 2}) == 1


def edits_between(one: str, other: str) -> int:
    """Optimal string alignment by its textbook table (Damerau 1964; recurrence from memory)."""
    table = [[max(row, column) for column in range(len(other) + 1)] for row in range(len(one) + 1)]
    for row in range(1, len(one) + 1):
        for column in range(1, len(other) + 1):
            differs = one[row - 1] != other[column - 1]
            table[row][column] = min(
                table[row - 1][column] + 1,
                table[row][column - 1] + 1,
                table[row - 1][column - 1] + differs,
            )
            if row > 1 < column and one[row - 2 : row] == other[column - 2 : column][::-1]:
                table[row][column] = min(table[row][column], table[row - 2][column - 2] + differs)
    return table[-1][-1]


@given(st.text("ABC", max_size=6), st.text("ABC", max_size=6))
def test_one_slip_is_an_edit_distance_of_one(typed: str, meant: str) -> None:
    assert (edits_between(typed, meant) == 1) == is_one_slip(typed, meant)


@given(st.text("ABC", min_size=2, max_size=6), st.data())
def test_one_slip_is_found_wherever_it_is_made(meant: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(meant) - 2))
    slips = {
        "swapped": meant[:at] + meant[at + 1] + meant[at] + meant[at + 2 :],
        "left out": meant[:at] + meant[at + 1 :],
        "put in": meant[:at] + "X" + meant[at:],
        "mistaken": meant[:at] + "X" + meant[at + 1 :],
    }

    missed = [slip for slip, typed in slips.items() if not is_one_slip(typed, meant)]

    assert missed == (["swapped"] if meant[at] == meant[at + 1] else [])

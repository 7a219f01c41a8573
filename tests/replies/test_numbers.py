"""Numbers as typed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.numbers import number, whole_numbers
from flows.replies.typed import tidy


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        ("3", "3"),
        ("about 21,5", "21.5"),
        (",5 l", "0.5"),
        (".5", "0.5"),
        ("500ml", "500"),
        ("3x 3", "3"),
        ("0,125", "0.125"),
        ("-3", "-3"),
        ("for V2: 7", "7"),
    ],
)
def test_a_number_as_typed(raw: str, expected: str) -> None:
    assert Decimal(expected) == number(tidy(raw))


@pytest.mark.parametrize(
    ("raw", "expected"),
    [("3 4", "ambiguous"), ("1,000", "ambiguous"), ("three", "number"), ("1/2", "number")],
)
def test_what_is_not_one_number_is_asked_back(raw: str, expected: str) -> None:
    assert NotUnderstood(expected) == number(tidy(raw))


def test_an_empty_text_is_no_number() -> None:
    assert number(tidy("  ")) == NotUnderstood("empty")


def test_whole_numbers_come_in_the_order_typed_without_labels_and_parts() -> None:
    assert whole_numbers(tidy("V1 12, 3x 4.5 -6 7/8 012")) == (12, 3, 12)


@given(st.decimals(-999_999, 999_999, places=2), st.sampled_from(".,"))
def test_every_number_is_read_as_it_was_typed(value: Decimal, point: str) -> None:
    assert value == number(tidy(f"about {value} ok".replace(".", point)))

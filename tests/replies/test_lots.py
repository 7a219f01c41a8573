"""S18: a lot as people type it: what may be more than a lot is asked back, and never joined to it.

How lots are printed, and what people say around one: common practice, no source.
"""

from collections.abc import Sequence
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.dates import printed_date
from flows.replies.lots import printed_lot
from flows.replies.typed import tidy
from tests.replies.hints import hint

TODAY = date(2026, 3, 2)
HERE = frozenset({"J1", "J1-K", "J1K", "V1"})


def expiries(words: Sequence[str]) -> tuple[date, ...]:
    read = printed_date(tidy(" ".join(words)), today=TODAY)
    days = read.dates if isinstance(read, NotUnderstood) else (read,)
    return tuple(day for day in days if day >= TODAY)


def lot(raw: str) -> object:
    return printed_lot(tidy(raw), HERE, expiries)


@pytest.mark.parametrize(
    ("raw", "read"),
    [
        ("D4417", "D4417"),
        ("d4417", "D4417"),
        ("D 4417", "D4417"),
        ("AB 44 17", "AB4417"),
        ("44 17B", "4417B"),
        ("L 77 A", "L77A"),
        ("4417 D", "4417D"),
        ("A 4417", "A4417"),
        ("77", "77"),
        ("lot 7", "7"),
        ("D 44 17 B", "D4417B"),
        ("D 4417 B", "D4417B"),
        ("D44 17", "D4417"),
        ("L77 A", "L77A"),
        ("D 7", "D7"),
        ("L D4417", "LD4417"),
        ("LOTD4417", "LOTD4417"),
    ],
)
def test_S18_a_lot_as_printed_its_parts_put_together(raw: str, read: str) -> None:
    assert lot(raw) == read


@pytest.mark.parametrize(
    "raw",
    [
        "D4417 thanks",
        "D4417 thank you",
        "ok D4417",
        "D4417 pls",
        "D4417 please",
        "it is D4417",
        "its D4417",
        "it's D4417",
        "that's D4417",
        "no its D4417",
        "lot D4417",
        "Lot No. D4417",
        "lot number: D4417",
        "the lot is D4417",
        "batch #D4417",
        "D4417 is the lot",
        "ok, this is lot no D4417, thanks",
        "BN D4417",
        "LN: D4417",
        "(10) D4417",
        "(10)D4417",
        "lot - D4417.",
    ],
)
def test_S18_what_is_said_around_it_is_no_part_of_it(raw: str) -> None:
    assert lot(raw) == "D4417"


@pytest.mark.parametrize(
    ("raw", "near"),
    [
        ("not sure 77", "77"),
        ("D4417 or 18", "D4417"),
        ("maybe D4417", "D4417"),
        ("hi D4417", "D4417"),
        ("or 18", "18"),
        ("my lot D4417", "D4417"),
        ("D4417 opa", "D4417"),
        ("4417 DE", "4417"),
        ("ABC 4417", "4417"),
        ("MRS 44 17", "44"),
        ("batch D4417 5L", "D4417"),
        ("D4417 500ml", "D4417"),
        ("5L", "5L"),
        ("D4417 5 L", "D4417"),
        ("D4417 J1", "D4417"),
        ("J1 D4417", "D4417"),
        ("D-4417", "D4417"),
        ("D4417/2", "D44172"),
        ("D4417?", "D4417"),
        ("lot D4417?", "D4417"),
    ],
)
def test_S18_any_other_word_beside_it_is_asked_back(raw: str, near: str) -> None:
    assert hint(lot(raw)) == f"lot:{near}"


@pytest.mark.parametrize(
    ("raw", "near"),
    [
        ("D44 ? 7", "D44"),
        ("D44? 7", "D44"),
        ("D44 _ 7", "D44"),
        ("D447_", "D447"),
        ("*D447", "D447"),
        ("lot D447 *", "D447"),
        ("D44 & 17", "D44"),
        ("D44, 17", "D44"),
    ],
)
def test_S18_a_sign_that_nobody_could_read_is_not_lost(raw: str, near: str) -> None:
    assert hint(lot(raw)) == f"lot:{near}"


@pytest.mark.parametrize(
    ("raw", "near"),
    [
        ("D4417 K208", "D4417"),
        ("D4417 / K208", "D4417"),
        ("D4417 & K208", "D4417"),
        ("D44 K20", "D44"),
        ("AB D44", "D44"),
        ("D4417 2", "D4417"),
        ("D44 2", "D44"),
        ("D4417 B", "D4417"),
        ("D 4417B", "4417B"),
        ("SN D4417", "D4417"),
        ("SN 4417", "4417"),
        ("10 D4417", "10"),
        ("D4417 (10)", "D4417"),
        ("D4417 2028", "D4417"),
        ("D 2028", "2028"),
        ("J2 D4417", "D4417"),
        ("J2 17", "17"),
        ("T 12", "12"),
        ("D4417 260101", "D4417"),
        ("260101 D4417", "D4417"),
        ("D 260101", "260101"),
        ("D 04 17", "04"),
    ],
)
def test_S18_what_may_be_a_second_lot_a_count_a_tag_or_a_day_is_not_joined_to_it(
    raw: str, near: str
) -> None:
    assert hint(lot(raw)) == f"lot:{near}"


@pytest.mark.parametrize("raw", ["J 1", "V 1"])
def test_S18_a_name_in_use_here_is_no_lot_in_parts_either(raw: str) -> None:
    assert hint(lot(raw)) == "lot:1"


@pytest.mark.parametrize(
    ("raw", "near", "days"),
    [
        ("no its 260430", "260430", ()),
        ("sorry 280331", "280331", ()),
        ("sorry 31 mar 28", "31MAR28", ()),
        ("31/03/28", "310328", ()),
        ("number 280331", "280331", ()),
        ("270331 D4417", "D4417", (date(2027, 3, 31),)),
        ("D4417 exp 31 mar 28", "D4417", (date(2028, 3, 31),)),
        ("77 EXP 0327", "77", (date(2027, 3, 31),)),
        ("lot D4417 280331", "D4417", (date(2028, 3, 31),)),
    ],
)
def test_S5_a_date_still_to_come_is_asked_back_instead_of_it_or_beside_it(
    raw: str, near: str, days: tuple[date, ...]
) -> None:
    assert lot(raw) == NotUnderstood("ambiguous", near=near, dates=days)


@pytest.mark.parametrize("raw", ["J1", "j1-k", "J1K", "lot J1", "its J1", "bath J1"])
def test_S18_a_tag_in_use_here_is_no_lot(raw: str) -> None:
    read = lot(raw)

    assert isinstance(read, NotUnderstood)
    assert (read.hint, read.near[:2]) == ("taken", "J1")


@pytest.mark.parametrize(
    ("raw", "read"), [("lot 280331", "280331"), ("batch 5L", "5L"), ("LOT 4417D", "4417D")]
)
def test_S18_one_word_that_is_named_as_the_lot_is_the_lot(raw: str, read: str) -> None:
    assert lot(raw) == read


@pytest.mark.parametrize(
    "raw",
    [
        "",
        "no lot",
        "n/a",
        "unknown",
        "thanks",
        "7",
        "12345678901234",
        "lot 1234567890123",
        "\u4e2d1",
    ],
)
def test_what_is_none_is_not_taken_for_one(raw: str) -> None:
    assert hint(lot(raw)) == "word"


def test_what_is_asked_back_is_short_enough_to_be_sent_back() -> None:
    assert hint(lot("maybe 12345678901234")) == "word"


@given(
    st.lists(st.sampled_from(["D4417", "D", "44", "OR", "5L", "0327", "J1", "LOT", "IS", "NOT"]))
)
def test_S18_what_is_asked_back_is_taken_once_it_is_named_as_the_lot(words: list[str]) -> None:
    read = lot(" ".join(words))

    if isinstance(read, NotUnderstood) and read.hint in {"lot", "ambiguous"}:
        assert lot(f"LOT {read.near}") == read.near

"""S2, S3: the two texts that bound a soak."""

from decimal import Decimal

import pytest

from flows.replies import NotUnderstood
from flows.replies.in_out import InReply, OutReply, read_in, read_out, read_owed, says_out
from flows.replies.temperature import Reading
from flows.replies.typed import tidy
from tests.replies.as_typed import BELL, INS, OUTS, STRAY_WORDS
from tests.replies.hints import hint


@pytest.mark.parametrize(("raw", "bell", "expected"), INS)
def test_S2_in_as_typed(
    raw: str, bell: int | None, expected: tuple[int | None, str] | str
) -> None:
    read = read_in(tidy(raw), bell)

    if isinstance(read, InReply):
        assert expected == (read.number, str(read.reading.celsius))
    else:
        assert expected == hint(read)


@pytest.mark.parametrize(("raw", "expected"), OUTS)
def test_S2_out_as_typed(raw: str, expected: tuple[int | None, str | None, str] | str) -> None:
    read = read_out(tidy(raw), BELL)

    if isinstance(read, OutReply):
        celsius = read.reading and str(read.reading.celsius)
        assert expected == (read.number, celsius, read.doubt.hint if read.doubt else "")
    else:
        assert expected == hint(read)


@pytest.mark.parametrize("word", STRAY_WORDS)
def test_S2_a_word_that_changes_nothing_is_let_be(word: str) -> None:
    assert read_out(tidy(f"OUT {word} 47")) == OutReply(47)


def test_S2_without_an_open_number_the_first_of_two_is_the_bell_number() -> None:
    read = read_out(tidy("OUT 21 38"))

    assert isinstance(read, OutReply)
    assert read.number == 21


def test_S2_a_wrong_number_is_handed_on_for_the_rule_to_refuse() -> None:
    assert read_out(tidy("OUT 12"), 47) == OutReply(12)


def test_S3_an_unclear_word_beside_out_does_not_undo_that_it_is_out() -> None:
    read = read_out(tidy("out 47 by mistake"), 47)

    assert read == OutReply(number=None, doubt=NotUnderstood("word"))


def test_S10_a_device_label_is_taken_away_before_the_numbers_are_read() -> None:
    assert read_out(tidy("OUT V1 47")) == OutReply(doubt=NotUnderstood("word"))
    assert read_out(tidy("OUT V1 47").without("V1")) == OutReply(47)


@pytest.mark.parametrize(
    ("said", "is_out"),
    [
        *(("OUT", True), ("OUT 95", True), ("OUT OF T1", True), ("OUT OF THE BATH", True)),
        *(("OUT OF ORDER", False), ("OUT OF STRIPS", False), ("OUT OF OPA", False)),
    ],
)
def test_S3_out_of_something_that_is_lacking_is_no_probe_that_came_out(
    said: str, *, is_out: bool
) -> None:
    assert says_out(tidy(said)) is is_out


@pytest.mark.parametrize("body", ["about 21.5", "<21", "21+", "67 ~21"])
def test_S17_where_only_the_reading_is_owed_a_rough_one_is_none(body: str) -> None:
    owed = read_owed(tidy(body), 67, "")

    assert owed == NotUnderstood("rough")


def test_S17_where_only_the_reading_is_owed_it_is_enough_with_its_number_or_without() -> None:
    read = [read_owed(tidy(body), 67, "") for body in ("21.5", "67 21.5", "21.5 C")]

    assert [each.celsius for each in read if isinstance(each, Reading)] == [Decimal("21.5")] * 3

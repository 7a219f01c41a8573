"""A failure is one line: its kind and its place, and none of the words that it came with."""

import logging
import re
import sys

import pytest

from bot.logs import OneLine, Plain, wrong
from bot.outbox.channel import Later
from bot.store.people import e164
from flows.parts.encoding import encode

NUMBER = "+12025550101"


def formatted(message: str, error: BaseException | None = None) -> str:
    shown = (type(error), error, error.__traceback__) if error else None
    record = logging.LogRecord("bot.room", logging.ERROR, __file__, 1, message, (), shown)
    record.created = 1772442000
    return OneLine().format(record)


def caught(typed: str) -> Exception:
    try:
        e164(typed)
    except ValueError as error:
        return error
    raise AssertionError(typed)


def test_a_line_says_when_in_utc_how_bad_where_and_what() -> None:
    assert formatted("a thing failed") == "2026-03-02T09:00:00Z ERROR bot.room a thing failed"


def test_an_error_is_told_by_its_kind_and_its_place_without_its_words() -> None:
    error = caught("Mary Miller, cable frayed\nin two")

    line = formatted("text SM1 failed", error)

    assert re.fullmatch(
        r"\S+ ERROR bot\.room text SM1 failed error=NotANumber at=bot\.store\.people:\d+", line
    )
    assert "Mary" in str(error)


def test_the_innermost_place_comes_first_and_only_our_own_are_named() -> None:
    try:
        encode([sys])
    except TypeError as error:
        (places,) = re.findall(r"at=(\S+)", wrong(error))

    assert places.startswith("flows.parts.encoding:")


def test_words_that_are_ours_are_told() -> None:
    assert issubclass(Later, Plain)
    assert wrong(Later("the gateway cannot be reached")) == (
        'error=Later words="the gateway cannot be reached" at=unknown'
    )


@pytest.mark.parametrize("said", [f"to {NUMBER} failed", "GET /x?To=%2B12025550101 failed"])
def test_a_number_that_a_library_adds_is_taken_out(said: str) -> None:
    line = formatted(said)

    assert "12025550101" not in line
    assert "(number)" in line


def test_what_has_several_lines_becomes_one() -> None:
    assert formatted("one\n  two\r\n\tthree").endswith(" one two three")

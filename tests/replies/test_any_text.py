"""Whatever is typed: a value or why not, never an exception, and a hint that is on the list."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from flows.replies import HINTS, NotUnderstood
from flows.replies.amounts import amounts, unread
from flows.replies.choice import choose
from flows.replies.dates import printed_date
from flows.replies.in_out import OutReply, read_in, read_out
from flows.replies.lots import printed_lot
from flows.replies.numbers import number, whole_numbers
from flows.replies.patient_code import patient_code, patient_codes
from flows.replies.planned import planned_for
from flows.replies.temperature import Reading, temperature
from flows.replies.typed import Typed, tidy
from tests.replies import as_typed

READERS: dict[str, Callable[[Typed], object]] = {
    "choose": lambda typed: choose(typed, dict.fromkeys(as_typed.STEPS, 0), as_typed.COMMANDS),
    "number": number,
    "amounts": amounts,
    "unread": unread,
    "whole_numbers": whole_numbers,
    "planned_for": lambda typed: planned_for(typed, {"PATIENTS": "patients", "INS": "probes"}),
    "temperature": temperature,
    "read_in": read_in,
    "read_in with a bell": lambda typed: read_in(typed, as_typed.BELL),
    "read_out": read_out,
    "patient_code": lambda typed: patient_code(typed.words),
    "patient_codes": patient_codes,
    "printed_lot": lambda typed: printed_lot(typed, {"J1"}, lambda _: ()),
    "printed_date": printed_date,
    "printed_date in order": lambda typed: printed_date(typed, "dmy", day_needed=True),
}

TABLES = (as_typed.TEMPERATURES, as_typed.INS, as_typed.OUTS, as_typed.WORDS)
KNOWN = sorted({row[0] for table in (*TABLES, as_typed.CODES, as_typed.DATES) for row in table})

PIECES = st.sampled_from(["IN", "OUT", "38", "4", "21,5", "-", ".", ",", "F", "\u00b0", "/", "27"])
TYPED = st.one_of(
    st.text(),
    st.text("0123456789.,-/ INOUTCF\u00b0?\n\u00b2\u00bd", max_size=12),
    st.lists(st.one_of(PIECES, st.text(max_size=3)), max_size=8).map(" ".join),
    st.sampled_from(KNOWN),
)


@pytest.mark.parametrize("reader", READERS)
@given(raw=TYPED)
def test_no_text_is_an_exception_and_every_refusal_has_a_known_hint(reader: str, raw: str) -> None:
    read = READERS[reader](tidy(raw))

    doubt = read.doubt if isinstance(read, OutReply) else read
    assert not isinstance(doubt, NotUnderstood) or doubt.hint in HINTS


@pytest.mark.parametrize("reader", READERS)
def test_a_text_as_long_as_they_come_is_no_exception(reader: str) -> None:
    longest = ["9" * 1600, "IN" + "9" * 1598, "OUT " + "1 " * 800, "," * 1600, "\n" * 1600]

    for raw in longest:
        READERS[reader](tidy(raw))


@given(raw=TYPED)
def test_S17_no_text_becomes_a_temperature_outside_the_limits(raw: str) -> None:
    read = temperature(tidy(raw))

    assert not isinstance(read, Reading) or Decimal(0) <= read.celsius <= Decimal(45)


OUTS = st.lists(st.sampled_from(["38", "3", "8", "83", "3.8", "38C", "21.5", "-38", "V38", "38-"]))


@given(OUTS)
@example(["38"])
@example(["3", "8"])
@example(["38C"])
@example(["V38"])
def test_S2_only_the_two_digits_by_themselves_are_the_open_bell_number(words: list[str]) -> None:
    typed = tidy(" ".join(["OUT", *words]))

    read = read_out(typed, as_typed.BELL)

    assert isinstance(read, OutReply)
    stands_alone = "38" in typed.words and "V38" not in typed.words
    assert stands_alone == (read.number == as_typed.BELL)


def test_every_hint_is_given_by_some_text() -> None:
    given_hints = set()
    for raw in [*KNOWN, "03/04/27", "mar 27", "J1"]:
        for read in READERS.values():
            answer = read(tidy(raw))
            given_hints.add(answer.hint if isinstance(answer, NotUnderstood) else None)

    assert given_hints - {None} == HINTS

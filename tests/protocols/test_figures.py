"""How figures are written: one reading for each, exact both ways, and nothing else is taken."""

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.protocols.figures import (
    CELSIUS,
    CLAIMS,
    COUNT,
    DAYS,
    NAME,
    NAMES,
    SPAN,
    TIMES,
    YES_NO,
    Kind,
    amount,
    frozen,
    one_of,
    optional,
    words,
)

ML_PER_LITRE = amount("ml/l", "7.8 ml/l")
SHORT = words(8, "purple")


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [
        (SPAN, "12 min", timedelta(minutes=12)),
        (SPAN, "90 s", timedelta(seconds=90)),
        (SPAN, "4 h", timedelta(hours=4)),
        (SPAN, "1 day", timedelta(days=1)),
        (SPAN, "75 days", timedelta(days=75)),
        (DAYS, "14 days", 14),
        (DAYS, "1 day", 1),
        (CELSIUS, "20 C", Decimal(20)),
        (CELSIUS, "21.5 C", Decimal("21.5")),
        (ML_PER_LITRE, "7.8 ml/l", Decimal("7.8")),
        (COUNT, 3, 3),
        (COUNT, "3", 3),
        (YES_NO, True, True),
        (YES_NO, "no", False),
        (NAME, "opa_055", "opa_055"),
        (NAMES, ["opa_055", "b"], ("opa_055", "b")),
        (SHORT, "any blue", "any blue"),
        (one_of("a", "b"), "b", "b"),
        (optional(SPAN), "none", None),
        (optional(SPAN), "4 h", timedelta(hours=4)),
        (TIMES, "25 C: 20 min", ((Decimal(25), timedelta(minutes=20)),)),
        (
            TIMES,
            "25 C: 20 min, 27.5 C: 90 s",
            ((Decimal(25), timedelta(minutes=20)), (Decimal("27.5"), timedelta(seconds=90))),
        ),
        (CLAIMS, [], ()),
        (CLAIMS, [{"says": "HPV", "source": "a journal"}], (("HPV", "a journal"),)),
    ],
)
def test_a_figure_is_read_as_it_is_written(kind: Kind, written: object, value: object) -> None:
    assert kind.reads(written) == value


@pytest.mark.parametrize(
    ("kind", "written"),
    [
        (SPAN, "12"),
        (SPAN, 12),
        (SPAN, "12min"),
        (SPAN, "12 mins"),
        (SPAN, "-12 min"),
        (SPAN, "1.5 min"),
        (SPAN, "999999 days"),
        (SPAN, "\u0661\u0662 min"),
        (SPAN, "none"),
        (DAYS, "14 h"),
        (CELSIUS, "20"),
        (CELSIUS, "68 F"),
        (CELSIUS, 20.0),
        (CELSIUS, "20,5 C"),
        (ML_PER_LITRE, "7.8 ml"),
        (COUNT, 3.0),
        (COUNT, True),
        (COUNT, "three"),
        (YES_NO, 1),
        (YES_NO, "true"),
        (NAME, "OPA 0.55"),
        (NAMES, "opa_055"),
        (NAMES, ["OPA"]),
        (SHORT, ""),
        (SHORT, " purple"),
        (SHORT, "all purple"),
        (SHORT, "20 \N{DEGREE SIGN}C"),
        (SHORT, 5),
        (one_of("a", "b"), "c"),
        (one_of("a", "b"), ["a"]),
        (optional(SPAN), "None"),
        (TIMES, ""),
        (TIMES, 20),
        (TIMES, {"25 C": "20 min"}),
        (TIMES, "25 C: 20 min,"),
        (TIMES, "25: 20 min"),
        (TIMES, "25 C: 20"),
        (TIMES, "25 C: 20 min; 30 C: 15 min"),
        (CLAIMS, "HPV"),
        (CLAIMS, ["HPV"]),
        (CLAIMS, [{"says": "HPV", "source": ""}]),
    ],
)
def test_what_is_written_otherwise_is_not_guessed_at(kind: Kind, written: object) -> None:
    with pytest.raises(ValueError, match=r".*"):
        kind.reads(written)


@given(st.integers(0, 99_999).map(lambda seconds: timedelta(seconds=seconds)))
def test_a_span_shown_reads_as_itself(span: timedelta) -> None:
    assert SPAN.reads(SPAN.shows(span)) == span


@pytest.mark.parametrize(
    ("span", "shown"),
    [
        (timedelta(0), "0 s"),
        (timedelta(seconds=90), "90 s"),
        (timedelta(minutes=12), "12 min"),
        (timedelta(days=1), "1 day"),
        (timedelta(days=2), "2 days"),
    ],
)
def test_a_span_is_shown_in_its_largest_whole_unit(span: timedelta, shown: str) -> None:
    assert SPAN.shows(span) == shown


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (SPAN, timedelta(minutes=12)),
        (DAYS, 14),
        (CELSIUS, Decimal("20.0")),
        (COUNT, 3),
        (YES_NO, False),
        (NAMES, ("a", "b")),
        (SHORT, "any blue"),
        (optional(CELSIUS), None),
        (optional(CELSIUS), Decimal("30.5")),
        (TIMES, ((Decimal("25.0"), timedelta(minutes=20)),)),
        (CLAIMS, (("HPV", "a journal"),)),
    ],
)
def test_a_frozen_value_thaws_to_itself(kind: Kind, value: object) -> None:
    assert kind.thaws(frozen(value)) == value


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (TIMES, ((Decimal(25), timedelta(minutes=20)), (Decimal(28), timedelta(seconds=90)))),
        (SPAN, timedelta(minutes=12)),
        (CELSIUS, Decimal("20.5")),
        (YES_NO, True),
        (YES_NO, False),
    ],
)
def test_a_shown_value_reads_as_itself(kind: Kind, value: object) -> None:
    assert kind.reads(kind.shows(value)) == value


def test_none_is_shown_as_the_word_that_is_read() -> None:
    assert optional(SPAN).shows(None) == "none"
    assert optional(SPAN).shows(timedelta(hours=4)) == "4 h"

"""PLAN as people type it: what each number counts, which day and product, what is asked back."""

from datetime import timedelta

import pytest

from tests.kit.plans import EARLY, morning, ready
from tests.kit.talk import clinic
from tests.kit.two_products import two_products


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 2 exam 5", "PLAN 2 exam 5 min", "plan 2, 5 min exam", "PLAN 2 5min"),
        *("PLAN 2 patients 5 minutes", "PLAN exam 5 patients 2", "PLAN 2 5 mins exam pls"),
    ],
)
def test_minutes_are_those_of_one_exam(body: str) -> None:
    """One probe: 2 x (5 + 24:15) = 58:30."""
    told, *_ = morning().sends(body)

    assert told == (
        "Patients 2, probes 1, baths 1, people 1, tubs 1, 5 min an exam, from 08:00: it fits. "
        "Last probe ready 08:59."
    )


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("PLAN 12", "Patients 12, probes 2, "),
        ("plan 12 please", "Patients 12, probes 2, "),
        ("PLAN 12 3", "Patients 12, probes 3, "),
        ("PLAN, 12, 1", "Patients 12, probes 1, "),
    ],
)
def test_probes_are_those_enrolled_unless_they_are_named(body: str, begins: str) -> None:
    assert morning("V1", "V2").sends(body)[0].startswith(begins)


@pytest.mark.parametrize(
    "body",
    [
        "PLAN 2 people 2",
        "PLAN 2 people: 2",
        "PLAN 2 patients 2 people",
        "PLAN patients 2 people 2",
        "plan 2, 2 people pls",
        "PLAN 2 2people",
        "PLAN people 2 patients 2",
    ],
)
def test_people_are_planned_with_as_they_are_named(body: str) -> None:
    assert (
        morning()
        .sends(body)[0]
        .startswith(
            "Patients 2, probes 1, baths 1, people 2, tubs 1, 10 min an exam, from 08:00: it fits."
        )
    )


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("PLAN 12 probes 3", "Patients 12, probes 3, baths 1, people 1, "),
        ("PLAN 12 3 probes 2 baths", "Patients 12, probes 3, baths 2, people 1, "),
        ("PLAN 12 baths 2 probes 3 people 2", "Patients 12, probes 3, baths 2, people 2, "),
        ("PLAN for 12 today", "Patients 12, probes 1, baths 1, people 1, "),
    ],
)
def test_each_number_counts_what_its_word_says(body: str, begins: str) -> None:
    assert morning().sends(body)[0].startswith(begins)


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("PLAN 1O", "Patients 10, probes 1, "),
        ("plan 1o 2", "Patients 10, probes 2, "),
        ("PLAN 2O people 2", "Patients 20, probes 1, baths 1, people 2, "),
        ("PLAN 10O", "I can plan for 1 to 99 patients, "),
        ("PLAN 1OO", "I can plan for 1 to 99 patients, "),
    ],
)
def test_a_letter_o_in_a_number_is_the_nought_it_must_be(body: str, begins: str) -> None:
    """Where nothing is counted in degrees it can be nothing else."""
    assert morning(closes_at="02:00").sends(body)[0].startswith(begins)


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN", "PLAN V1", "PLAN 12.5", "PLAN people 2", "PLAN people", "PLAN exam 5"),
        *("PLAN 12 min", "PLAN 12 people", "PLAN 2.5 people"),
    ],
)
def test_where_nobody_says_how_many_patients_it_asks(body: str) -> None:
    (said,) = clinic().sends(body)

    assert said == (
        "How many patients? Like PLAN 12. To try other numbers: PLAN 12 PROBES 2 BATHS 2 PEOPLE "
        "2 TUBS 2 EXAM 15, or some of these."
    )


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 12 2 1", "PLAN 12 2.5", "PLAN 12 patients 2", "PLAN 12 people probes 2"),
        *("PLAN 12 people 2 people 3", "PLAN 12 people people", "PLAN 12 2 probes 3"),
        *("PLAN 12 patients exam", "PLAN 12 exam 5 exam 6", "PLAN 12 exam min 5 6"),
    ],
)
def test_numbers_of_which_it_is_not_clear_what_they_count_are_asked_back(body: str) -> None:
    (said,) = clinic().sends(body)

    assert said == (
        "What does each number count? Say it like this: PLAN 12 PROBES 2 BATHS 2 PEOPLE 2 TUBS 2 "
        "EXAM 15, or some of these."
    )


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 12 patients 2 probes by 3pm", "PLAN 12 until 3pm", "PLAN 12 by 15:00"),
        *("PLAN 12 till noon", "PLAN 12 before 3.30pm", "PLAN 12 10h30", "PLAN 12 11 am"),
        *("PLAN 12 this afternoon", "PLAN 12 tomorrow morning"),
    ],
)
def test_other_hours_than_the_sites_own_are_for_the_desk(body: str) -> None:
    assert morning(closes_at="16:30").sends(body) == [
        (
            "I plan to your closing time, 16:30, and with no other hours: those are planned at "
            "the desk. For a plan to closing time: PLAN 12."
        )
    ]


@pytest.mark.parametrize(
    ("body", "begins"),
    [
        ("PLAN 12 nurses 2", "Patients 12, probes 1, baths 1, people 2, "),
        ("PLAN 12 persons 2", "Patients 12, probes 1, baths 1, people 2, "),
        ("PLAN 12 2 staff", "Patients 12, probes 1, baths 1, people 2, "),
        ("PLAN twelve", "Patients 12, probes 1, "),
        ("plan seven patients, two probes", "Patients 7, probes 2, "),
        ("PLAN 3 exams 5", "Patients 3, probes 1, baths 1, people 1, tubs 1, 5 min an exam, "),
    ],
)
def test_people_and_numbers_are_read_by_other_words_too(body: str, begins: str) -> None:
    assert morning().sends(body)[0].startswith(begins)


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 0", "PLAN 100", "PLAN 12 0", "PLAN 12 10", "PLAN 12 people 0", "PLAN 2 10 baths"),
        *("PLAN 12 exam 0", "PLAN 12 exam 100", "PLAN 12 10 tubs"),
    ],
)
def test_numbers_of_no_day_are_told_their_limits(body: str) -> None:
    (said,) = clinic().sends(body)

    assert said == (
        "I can plan for 1 to 99 patients, 1 to 9 probes, baths, people and tubs, exams of 1 to 99 "
        "minutes, like PLAN 12 PEOPLE 2."
    )


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 3 GLUTARAL", "plan 3 glut", "PLAN glutaraldehyde 3", "PLAN 3 1 glutaral"),
        *("PLAN 3 glutaral 3.0 %", "PLAN 3 glutaral 3.0% people 2", "PLAN 3 glutaral tomorrow"),
    ],
)
def test_S4_a_product_that_is_named_is_planned_with_the_probes_that_soak_in_it(body: str) -> None:
    verdict, to_pack, _, others = ready(two_products()).sends(body)

    assert verdict.startswith("Patients 3, probes 1, ")
    assert " mL glutaral 3.0 %, " in to_pack
    assert others.endswith("For those in OPA 0.55 %: PLAN 12 V1.")


def test_S4_the_first_product_is_named_like_any_other() -> None:
    _, to_pack, *_ = ready(two_products()).sends("PLAN 3 opa")

    assert " mL OPA 0.55 %, " in to_pack


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 3 friday", "PLAN 3 on Fri", "plan weds 3", "PLAN 3 next week", "PLAN 3 1 monday"),
        "PLAN 3 day after tomorrow",
    ],
)
def test_another_day_than_tomorrow_is_not_planned_and_that_is_said(body: str) -> None:
    assert morning().sends(body) == [
        (
            "I plan the rest of today or the whole of tomorrow, no other day: PLAN 12, or PLAN 12 "
            "TOMORROW."
        )
    ]


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN 3 tomorrow", "PLAN 3 TOM", "plan tomorrow 3 1", "PLAN 3 1 tomorrow"),
        *("PLAN 3 tmrw", "plan 3 tmw", "PLAN tomorow 3", "PLAN 3 tommorrow", "PLAN 3 tmr pls"),
    ],
)
def test_the_whole_of_tomorrow_is_planned_where_that_is_meant(body: str) -> None:
    talk = morning()
    talk.now = EARLY + timedelta(hours=6)

    assert ", from Wed 08:00: it fits. " in talk.sends(body)[0]
    assert ", from 13:00: it fits. " in talk.sends("PLAN 3 1")[0]


@pytest.mark.parametrize(
    ("body", "word"),
    [
        *(("PLAN 3 demain", "DEMAIN"), ("plan tonite 3", "TONITE"), ("PLAN 12 V9", "V9")),
        *(("PLAN 12 T2", "T2"), ("PLAN 12 GA", "GA"), ("PLAN 12 glutaral", "GLUTARAL")),
        *(("PLAN 12 half an hour", "HALF"), ("PLAN 12th", "12TH"), ("PLAN 12 exam 1h", "1H")),
        *(("PLAN 2 people 2 please ask", "ASK"), ("PLAN 3 probes2b", "PROBES2B")),
    ],
)
def test_a_word_that_is_not_known_is_asked_back_and_named(body: str, word: str) -> None:
    """It may be a day, a device or a product: what it would change is not passed over."""
    assert morning().sends(body) == [
        (
            f"I cannot read {word} in a plan. Like this I can: PLAN 12 PROBES 2 BATHS 2 PEOPLE 2 "
            "TUBS 2 EXAM 15 TOMORROW, or some of these."
        )
    ]


@pytest.mark.parametrize(
    "body",
    [
        *("PLAN for 3 today please", "plan the day with 3 patients", "PLAN 3 more today"),
        *("PLAN we have 3 pts", "PLAN 3 women", "PLAN 3 patients and 1 probe"),
    ],
)
def test_words_that_change_nothing_are_let_be(body: str) -> None:
    assert morning().sends(body)[0].startswith("Patients 3, probes 1, ")

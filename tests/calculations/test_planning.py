"""A day planned: small ones worked by hand, large ones held to bounds that no schedule beats.

The spans by hand are those of OPA 0.55 % and the usual pace (common practice, no source): 3 min
to the detergent (1 of them wet), 2:15 in it, a strip of 1:31 meanwhile, 2 into the bath, 13 in it
(CDC/HICPAC 2008, Table 4: 12, and a margin of 1), 4 to the cover. Together 24:15.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flows.calculations import pace, planning
from flows.calculations.bounds import least_time
from flows.calculations.pace import Pace, pace_of
from flows.calculations.planning import Plan, WouldFit, planned, would_fit
from flows.calculations.schedule import Day, Turn, schedules
from flows.rules import soak
from tests.kit.talk import shipped_protocol

PROTOCOL = shipped_protocol()
PACE = pace_of(PROTOCOL)
MINUTE = timedelta(minutes=1)
DAYS = st.builds(
    Day,
    patients=st.integers(1, 9),
    probes=st.integers(1, 3),
    baths=st.integers(1, 3),
    people=st.integers(1, 3),
    exam=st.integers(0, 70).map(lambda minutes: minutes * MINUTE),
    tubs=st.integers(1, 2),
    rooms=st.integers(1, 2),
    unready=st.integers(0, 3),
).map(lambda made: replace(made, unready=min(made.unready, made.probes)))


def day(patients: int, probes: int, *, baths: int = 1, people: int = 1, tubs: int = 1) -> Day:
    return Day(
        patients=patients,
        probes=probes,
        baths=baths,
        people=people,
        exam=10 * MINUTE,
        tubs=tubs,
    )


def clock(minutes: int, seconds: int = 0) -> timedelta:
    return timedelta(minutes=minutes, seconds=seconds)


def ready(planned_day: Day) -> list[timedelta]:
    return [turn.ready_at for turn in planned(planned_day, PROTOCOL).turns]


# -- the pace -----------------------------------------------------------------------------------


def test_a_cycle_takes_twenty_to_twenty_five_minutes_of_which_eleven_need_hands() -> None:
    """Common practice, no source: 20 to 25 min with a soak of 12."""
    assert clock(24, 15) == PACE.whole
    assert clock(20) <= PACE.whole <= clock(25)
    assert clock(10, 31) == PACE.hands
    assert pace.DETERGENT_MARGIN == soak.DETERGENT_MARGIN


def test_no_strip_is_waited_for_where_the_bath_is_not_tested_each_time() -> None:
    daily = replace(PROTOCOL.chemistry, strip_policy="bottle_daily")

    assert pace_of(replace(PROTOCOL, chemistry=daily)).strip == timedelta(0)


# -- worked by hand -----------------------------------------------------------------------------


def test_one_patient_one_probe() -> None:
    """Exam 0 to 10; cleaned from 10, in detergent 13, out 15:15, in the bath 17:15, out 30:15,
    covered 34:15."""
    (turn,) = planned(day(1, 1), PROTOCOL).turns

    assert turn == Turn(
        patient=1,
        probe=1,
        bath=1,
        examined_from=clock(0),
        cleaned_from=clock(10),
        under_at=clock(13),
        rinsed_from=clock(15, 15),
        in_at=clock(17, 15),
        out_at=clock(30, 15),
        ready_at=clock(34, 15),
    )


def test_the_second_patient_waits_for_the_whole_cycle_of_the_only_probe() -> None:
    """The second exam begins when the probe is covered, 34:15; 34:15 later it is 68:30."""
    first, second = planned(day(2, 1, baths=2, people=3), PROTOCOL).turns

    assert second.examined_from == first.ready_at == clock(34, 15)
    assert second.ready_at == clock(68, 30)


def test_two_probes_share_one_bath() -> None:
    """Two people. The second probe is examined 10 to 20 and gets the tub at 17:15; cleaned 20 to
    23; its bath is free at 30:15, its strip read 31:46, it is in at 33:46, out 46:46, covered
    50:46. (Waiting dirty for the bath instead: cleaned from 30:15, in 37:30, covered 54:30.)"""
    second = planned(day(2, 2, people=2), PROTOCOL).turns[1]

    assert (second.under_at, second.in_at) == (clock(23), clock(33, 46))
    assert second.ready_at == clock(50, 46)


def test_two_probes_two_baths_and_hands_enough() -> None:
    """The second probe is 10 min behind the first all the way: examined 10 to 20, 44:15."""
    assert ready(day(2, 2, baths=2, people=3, tubs=2)) == [clock(34, 15), clock(44, 15)]


def test_one_person_alone_is_what_is_waited_for() -> None:
    """Two of everything but people. The first probe is under at 13; the second exam, which waits,
    goes on 13 to 23; first: strip 24:31, in 26:31; second: cleaned to 29:31, strip 31:02, bell
    31:46, in 33:46; first: out 39:31, covered 43:31; second: out 46:46, covered 50:46.
    (Staying with the first until it is in: second examined from 17:15, covered 51:30.)"""
    assert ready(day(2, 2, baths=2, tubs=2)) == [clock(43, 31), clock(50, 46)]


def test_staying_with_a_probe_is_better_where_exams_are_long() -> None:
    """One bath, one tub, exams of 30 min, one person, two probes, two patients. Staying: in at
    37:15, second exam 37:15 to 67:15, first covered 71:15 (its bell was at 50:15, hands came at
    67:15), second cleaned from 71:15 as the tub and then the bath are free: in 78:30, out 91:30,
    covered 95:30. Leaving it in the detergent for the exam is later: under 33, exam to 63, in
    66:31, second cleaned to 69:31, first out 79:31, covered 83:31, second in 87:02, covered
    104:02."""
    long = replace(day(2, 2), exam=30 * MINUTE)

    assert ready(long) == [clock(71, 15), clock(95, 30)]


def test_a_day_that_ends_with_the_last_cover_fits_and_a_second_less_does_not() -> None:
    plan = planned(day(1, 1), PROTOCOL)

    assert plan.fits(clock(34, 15))
    assert not plan.fits(clock(34, 14))


@pytest.mark.parametrize("what", ["patients", "probes", "baths", "people", "tubs", "rooms"])
def test_a_day_that_lacks_something_is_no_day(what: str) -> None:
    lacking = _with(day(1, 1), what, 0)

    with pytest.raises(ValueError, match="lacks something"):
        planned(lacking, PROTOCOL)


def _with(of: Day, what: str, count: int) -> Day:
    changes: dict[str, Any] = {what: count}
    return replace(of, **changes)


def test_S9_a_probe_that_is_not_ready_is_cleaned_before_its_first_patient() -> None:
    """From opening: in 7:15, out 20:15, covered 24:15; the exam begins then, 34:15 later 58:30."""
    first, second = planned(replace(day(1, 1), unready=1), PROTOCOL).turns

    assert (first.patient, first.cleaned_from, first.ready_at) == (0, clock(0), clock(24, 15))
    assert (second.patient, second.examined_from) == (1, clock(24, 15))
    assert second.ready_at == clock(58, 30)


def test_S9_it_is_cleaned_while_another_is_examined_with_where_there_are_hands() -> None:
    """Two of everything: the second exam, 24:15 to 34:15, with the probe that was cleaned first.
    With the ready one alone both take 68:30."""
    two = replace(day(2, 2, baths=2, people=2, tubs=2), unready=1)

    assert [turn.probe for turn in planned(two, PROTOCOL).turns] == [2, 1, 2]
    assert planned(two, PROTOCOL).last_ready == clock(58, 30)


def test_S9_it_is_left_as_it_is_where_that_ends_sooner() -> None:
    """One patient and a ready probe: the one person cleans nothing before the exam."""
    assert ready(replace(day(1, 2), unready=1)) == [clock(34, 15)]


# -- what would make it fit ---------------------------------------------------------------------


def test_a_second_probe_makes_an_hour_do() -> None:
    """By hand above: with one probe 68:30, with two 50:46; more baths or people change nothing
    for one probe; one patient alone is ready at 34:15."""
    told = would_fit(day(2, 1, people=2), PROTOCOL, clock(60))

    assert told == WouldFit(probes=2, baths=None, people=None, tubs=None, patients=1)


def test_a_second_bath_makes_three_quarters_of_an_hour_do() -> None:
    """Two people, two baths: examined 10 to 20, in detergent 23 to 25:15, in 27:15, out 40:15,
    covered 44:15; with one bath 50:46."""
    told = would_fit(day(2, 2, people=2), PROTOCOL, clock(45))

    assert told == WouldFit(probes=None, baths=2, people=None, tubs=None, patients=1)


def test_where_nothing_alone_helps_it_says_so() -> None:
    told = would_fit(day(2, 1), PROTOCOL, clock(34))

    assert told == WouldFit(probes=None, baths=None, people=None, tubs=None, patients=0)


def test_a_day_that_fits_needs_no_more_than_it_has() -> None:
    told = would_fit(day(3, 2), PROTOCOL, clock(600))

    assert told == WouldFit(probes=2, baths=1, people=1, tubs=1, patients=3)


def test_a_second_tub_makes_half_an_hour_do() -> None:
    """Exams of 1 min, three people, two probes and baths. With one tub it is free at 8:15, when
    the first is in: the second is under 11:15, in 15:30, out 28:30, covered 32:30. With two tubs
    the second is a minute behind the first all the way: 26:15."""
    short = replace(day(2, 2, baths=2, people=3), exam=MINUTE)

    told = would_fit(short, PROTOCOL, clock(30))

    assert told == WouldFit(probes=None, baths=None, people=None, tubs=2, patients=1)


def test_the_fewest_things_together_where_nothing_alone_makes_three_quarters_of_an_hour_do() -> (
    None
):
    """By hand above: one probe 68:30; two probes with one person or one bath 50:46 at best; with
    two of all three 44:15, which a second tub does not need."""
    told = would_fit(day(2, 1), PROTOCOL, clock(45))

    assert told == WouldFit(
        probes=None,
        baths=None,
        people=None,
        tubs=None,
        patients=1,
        together=day(2, 2, baths=2, people=2),
    )


def test_of_as_few_things_together_those_that_are_easier_to_come_by_are_told() -> None:
    """Two probes alone 58:30. Two probes and two baths 50:46, as the one person is waited for and
    no tub; two probes and two people 50:46 too, and a bath is easier to come by than a person."""
    told = would_fit(day(2, 1), PROTOCOL, clock(55))

    assert told.together == day(2, 2, baths=2)


def test_what_alone_helps_is_told_without_anything_together() -> None:
    assert would_fit(day(2, 1), PROTOCOL, clock(60)).together is None


def test_more_than_can_be_tried_together_is_not_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "MOST_SIMULATED", 0)

    assert would_fit(day(2, 1), PROTOCOL, clock(45)).together is None


def test_more_things_than_are_ever_tried_stay_what_there_is() -> None:
    """Twelve probes are there, and two patients need two; with a second bath and person 44:15."""
    told = would_fit(day(2, 12), PROTOCOL, clock(45))

    assert told.together == day(2, 12, baths=2, people=2)


# -- bounds -------------------------------------------------------------------------------------


@settings(deadline=None, max_examples=40)
@given(DAYS)
def test_no_day_is_over_before_its_critical_path(given_day: Day) -> None:
    """What one probe, one room, one bath or all hands have to do by themselves."""
    rounds = [
        -(-given_day.patients // count)
        for count in (given_day.probes, given_day.rooms, given_day.baths)
    ]
    by_probe = rounds[0] * (given_day.exam + PACE.whole)
    by_room = rounds[1] * given_day.exam + PACE.whole
    by_bath = given_day.exam + PACE.whole + (rounds[2] - 1) * PACE.contact
    by_hands = given_day.patients * (given_day.exam + PACE.hands) / given_day.people

    last = planned(given_day, PROTOCOL).last_ready

    assert last >= max(by_probe, by_room, by_bath, by_hands, least_time(given_day, PACE))


@settings(deadline=None, max_examples=40)
@given(DAYS, st.sampled_from(["probes", "baths", "people", "tubs"]))
def test_one_thing_more_is_never_worse_and_one_patient_more_never_better(
    given_day: Day, what: str
) -> None:
    richer = _with(given_day, what, getattr(given_day, what) + 1)
    busier = replace(given_day, patients=given_day.patients + 1)

    last = planned(given_day, PROTOCOL).last_ready

    assert planned(richer, PROTOCOL).last_ready <= last
    assert planned(busier, PROTOCOL).last_ready >= last


@settings(deadline=None, max_examples=25)
@given(DAYS, st.integers(25, 300))
def test_no_fewer_things_together_make_a_day_fit_nor_as_few_that_are_easier_to_come_by(
    given_day: Day, minutes: int
) -> None:
    """Each number up to three, against every day that there is with as much or more."""
    given_day, open_for = replace(given_day, patients=min(given_day.patients, 5)), clock(minutes)

    with pytest.MonkeyPatch.context() as tried:
        tried.setattr(planning, "MOST_TO_TRY", 3)
        tried.setattr(planning, "MOST_SIMULATED", 3**4)
        told = would_fit(given_day, PROTOCOL, open_for)

    alone = (told.probes, told.baths, told.people, told.tubs)
    assert told.together == (None if any(alone) else _least_together(given_day, open_for))


def _least_together(given_day: Day, open_for: timedelta) -> Day | None:
    had = (given_day.probes, given_day.people, given_day.baths, given_day.tubs)
    richer = sorted(
        product(*(range(count, 4) for count in had)),
        key=lambda counts: (sum(counts), *counts),
    )
    for probes, people, baths, tubs in richer:
        tried = replace(given_day, probes=probes, people=people, baths=baths, tubs=tubs)
        if planned(tried, PROTOCOL).fits(open_for):
            return tried
    return None


@settings(deadline=None, max_examples=40)
@given(DAYS)
def test_a_day_without_what_was_never_in_use_goes_just_the_same(given_day: Day) -> None:
    for way, schedule in enumerate(schedules(given_day, PACE)):
        assert schedules(schedule.in_use, PACE)[way] == schedule


@settings(deadline=None, max_examples=40)
@given(DAYS)
def test_nothing_is_in_two_places_and_no_act_is_hurried(given_day: Day) -> None:
    plan = planned(given_day, PROTOCOL)

    for turn in plan.turns:
        assert _is_unhurried(turn, given_day, PACE)
    assert _at_once(plan, lambda turn: (turn.examined_from, turn.ready_at)) <= given_day.probes
    assert _at_once(plan, lambda turn: (turn.in_at, turn.out_at)) <= given_day.baths
    assert _at_once(plan, lambda turn: (turn.cleaned_from, turn.in_at)) <= given_day.tubs
    assert _at_once(plan, lambda turn: _exam(turn, given_day)) <= given_day.rooms
    assert _most_at_once(_busy(plan.turns, given_day)) <= given_day.people
    for taken, held in (("probe", ("examined_from", "ready_at")), ("bath", ("in_at", "out_at"))):
        assert _is_used_in_turns(plan, taken, *held)


@settings(deadline=None, max_examples=40)
@given(DAYS)
def test_S12_no_exam_and_no_cleaning_is_begun_while_a_bell_waits_for_hands(given_day: Day) -> None:
    for schedule in schedules(given_day, PACE):
        turns = schedule.turns
        exams = [turn.examined_from for turn in turns if turn.patient]
        begun = [*exams, *(turn.cleaned_from for turn in turns)]
        waits = [(turn.in_at + PACE.contact, turn.out_at) for turn in turns]

        assert not [at for at in begun if any(bell < at < out for bell, out in waits)]


@settings(deadline=None, max_examples=40)
@given(DAYS)
def test_S12_a_plan_leaves_no_probe_in_too_long(given_day: Day) -> None:
    assert not planned(given_day, PROTOCOL).is_left_too_long


def test_S12_how_long_a_bell_waits_for_an_examination_is_known() -> None:
    """One person, two probes for three patients, exams of 30 min: the first probe is in at 37:15,
    the second exam lasts from then to 67:15; its bell is at 50:15."""
    long = replace(day(3, 2, baths=2), exam=30 * MINUTE)

    assert planned(long, PROTOCOL).past_the_bell == clock(17)
    assert planned(day(1, 1), PROTOCOL).past_the_bell == clock(0)


@pytest.mark.parametrize(("exam", "waits"), [(56, clock(43)), (57, clock(0)), (60, clock(0))])
def test_S12_no_exam_is_planned_to_last_until_the_very_end_of_the_longest_soak(
    exam: int, waits: timedelta
) -> None:
    """60 min, and 4 of them are left over: hands are not to the second."""
    long = replace(day(3, 2, baths=2), exam=exam * MINUTE)

    assert planned(long, PROTOCOL).past_the_bell == waits


def test_S12_where_the_bell_itself_is_near_the_longest_soak_no_more_is_asked() -> None:
    """12 min and 1 of margin, of 14."""
    short = replace(PROTOCOL.chemistry, maximum_soak=14 * MINUTE)

    assert not planned(day(3, 2), replace(PROTOCOL, chemistry=short)).is_left_too_long


def test_S12_a_schedule_that_would_is_passed_over() -> None:
    """One person, exams of 70 min: the second exam would keep the first probe past its 60 min."""
    long = replace(day(2, 2, baths=2, tubs=2), exam=70 * MINUTE)

    first, second = planned(long, PROTOCOL).turns

    assert (first.probe, second.probe) == (1, 1)
    assert second.ready_at == 2 * (clock(70) + PACE.whole)


def _is_unhurried(turn: Turn, given_day: Day, at: Pace) -> bool:
    return (
        (turn.patient == 0 or turn.cleaned_from - turn.examined_from >= given_day.exam)
        and turn.under_at - turn.cleaned_from == at.to_detergent
        and turn.rinsed_from - turn.under_at >= max(at.detergent, at.strip)
        and turn.in_at - turn.rinsed_from == at.to_bath
        and turn.out_at - turn.in_at >= at.contact
        and turn.ready_at - turn.out_at == at.to_cover
    )


Span = tuple[timedelta, timedelta]


def _exam(turn: Turn, given_day: Day) -> Span:
    """None of its own where the probe is cleaned before the first patient."""
    exam = given_day.exam if turn.patient else timedelta(0)
    return turn.examined_from, turn.examined_from + exam


def _busy(turns: Iterable[Turn], given_day: Day) -> list[Span]:
    """Every span in which somebody is surely busy; a strip's may lie anywhere before the rinse."""
    return [
        span
        for turn in turns
        for span in (
            _exam(turn, given_day),
            (turn.cleaned_from, turn.under_at),
            (turn.rinsed_from, turn.in_at),
            (turn.out_at, turn.ready_at),
        )
    ]


def _at_once(plan: Plan, held: Callable[[Turn], Span]) -> int:
    return _most_at_once([held(turn) for turn in plan.turns])


def _most_at_once(spans: list[Span]) -> int:
    return max(sum(begun <= start < ended for begun, ended in spans) for start, _ in spans)


def _is_used_in_turns(plan: Plan, what: str, begins: str, ends: str) -> bool:
    for number in {getattr(turn, what) for turn in plan.turns}:
        uses = sorted(
            (getattr(turn, begins), getattr(turn, ends))
            for turn in plan.turns
            if getattr(turn, what) == number
        )
        if any(one[1] > other[0] for one, other in pairwise(uses)):
            return False
    return True

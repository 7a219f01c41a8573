"""S2, S5, S9: a clock that is put back makes nothing good, ready or locked for longer.

Arithmetic: what was reckoned by a clock ten days fast is ten days late on the right one.
"""

from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import AlertRaised, ClockStepped
from tests.kit.cycles import cycle_of, play_cycle, step_of
from tests.kit.strips import passes
from tests.kit.talk import Talk, clinic

TEN_DAYS = timedelta(days=10)


def put_back(talk: Talk, step: timedelta = TEN_DAYS) -> None:
    talk.now -= step
    talk.let(ClockStepped(-step))


def fast() -> Talk:
    """All that is here was opened, poured, tested and released by a clock ten days fast."""
    talk = clinic()
    play_cycle(talk)
    passes(talk, "T1")
    return talk


def test_S5_every_date_is_as_much_earlier() -> None:
    talk = fast()
    before = talk.clinic

    put_back(talk)

    things = [*talk.clinic.containers.values(), *talk.clinic.strips.values()]
    earlier = {each.tag: each.discard_by + TEN_DAYS for each in things}
    were = [*before.containers.values(), *before.strips.values()]
    assert earlier == {each.tag: each.discard_by for each in were}
    passed, was = talk.clinic.containers["T1"].passed, before.containers["T1"].passed
    assert passed is not None
    assert was is not None
    assert (passed.at, passed.good_until) == (was.at - TEN_DAYS, was.good_until - TEN_DAYS)


def test_S5_what_is_poured_next_does_not_count_from_a_day_to_come() -> None:
    talk = fast()
    put_back(talk)
    talk.sends("POUR", after=20)

    talk.sends("POURED", after=20)

    assert talk.clinic.containers["T2"].since < talk.now


def test_S9_a_release_is_over_as_much_sooner() -> None:
    talk = fast()
    assert talk.sends("CHECK V1")[0].startswith("V1 READY")

    put_back(talk, timedelta(hours=8))
    later = talk.sends("CHECK V1", after=8 * 3600)

    assert later[0].startswith("V1 NOT READY")


def test_S13_patients_since_the_last_inspection_are_all_of_them() -> None:
    """Uses told after the clock was put right come after it."""
    talk = fast()

    put_back(talk)

    inspected = talk.clinic.devices["V1"].inspected_at
    assert inspected is not None
    assert inspected < talk.now


def test_S2_a_soak_that_would_begin_in_time_to_come_counts_from_now() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    before = cycle_of(talk).contact

    put_back(talk)

    after, bell = cycle_of(talk).contact, talk.clinic.bells[f"{cycle_of(talk).id}.contact"]
    assert before is not None
    assert after is not None
    assert after.began == talk.now
    assert after.due - after.began == before.due - before.began
    assert bell.due == after.due


def test_S10_whoever_is_asked_something_can_answer_as_soon_as_before() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    put_back(talk)

    talk.sends("dry", after=60)

    assert step_of(talk) != "dry"


def test_S4_a_strip_that_was_dipped_is_as_old_as_it_is() -> None:
    """90 s until it can be read, by OPA's strips: from memory, product instructions."""
    talk = clinic()
    play_cycle(talk, until="read")
    talk.wait(seconds=92)

    put_back(talk)
    play_cycle(talk)

    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert talk.clinic.devices["V1"].standing == "released"


def test_S11_the_supervisor_is_told_and_the_morning_text_comes_on_its_day() -> None:
    talk = fast()

    put_back(talk)

    assert [each.cause for each in talk.happened(AlertRaised)] == ["clock_back"]
    assert talk.last("ph9").startswith("My clock was put back. ")
    assert timedelta(0) < talk.clinic.bells["morning"].due - talk.now < timedelta(days=1)


@pytest.mark.parametrize("step", [timedelta(0), timedelta(seconds=59)])
def test_what_moves_no_date_that_was_written_down_wakes_nobody(step: timedelta) -> None:
    talk = fast()

    put_back(talk, step)

    assert talk.happened(AlertRaised) == []


def test_S5_nothing_is_moved_by_a_clock_that_goes_ahead() -> None:
    """What was opened by a slow clock ends too early by the right one: the safe side."""
    talk = fast()
    before = talk.clinic.containers

    talk.let(ClockStepped(TEN_DAYS))

    assert talk.clinic.containers == before

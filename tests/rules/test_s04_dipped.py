"""S4: a strip judges its container as both were at the dip, whatever becomes of them before it
is read; one that nobody reads counts as a strip without a result."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Clinic, Fitness, Standing
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    CycleVoided,
    Immersed,
    Recalled,
    SiteChoiceMade,
    StripBottleOpened,
    StripRead,
)
from flows.parts.look_back import Dip
from flows.parts.state import fold_all
from tests.kit.cycles import cycle_of, play_cycle, step_of
from tests.kit.strips import WEEK, dips, fails, first_digit, outcomes
from tests.kit.talk import NINE, Talk, clinic

STRIPS = "opa_strip_1s_90s"


def dip(talk: Talk, tag: str = "T1", phone: str = "ph1") -> None:
    talk.sends(f"TEST {tag}", phone=phone, after=20)
    dips(talk, tag, phone)


def says(talk: Talk, colour: int, *, after: float = 95, phone: str = "ph1") -> list[str]:
    """What the strip of T1 that waits shows: 0 all purple, 1 any blue, 2 not sure."""
    return talk.sends(str(int(first_digit(talk, "T1")) + colour), phone=phone, after=after)


def released() -> Talk:
    """V1 is ready, from T1; V2 may follow it."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    return talk


def standings(talk: Talk) -> list[Standing]:
    return [each.standing for each in talk.clinic.devices.values()]


# -- its bottle ---------------------------------------------------------------------------------


def end_of_bottle(talk: Talk, how: str) -> None:
    if how == "thrown away":
        talk.sends("DISCARD S1", after=5)
    else:
        bottle = replace(talk.clinic.strips["S1"], discard_by=talk.now + timedelta(seconds=60))
        talk.clinic = replace(talk.clinic, strips={"S1": bottle})


@pytest.mark.parametrize("how", ["thrown away", "out of date"])
def test_S4_a_fail_is_a_fail_though_its_bottle_came_to_its_end_before_it_was_read(
    how: str,
) -> None:
    talk = released()
    dip(talk)
    end_of_bottle(talk, how)

    says(talk, 1, after=90)

    assert outcomes(talk)[-1] == ("fail", "")
    assert standings(talk)[0] is Standing.NOT_READY
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


@pytest.mark.parametrize("how", ["thrown away", "out of date"])
def test_S4_a_pass_is_a_pass_though_its_bottle_came_to_its_end_before_it_was_read(
    how: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    end_of_bottle(talk, how)

    says(talk, 0, after=90)

    assert outcomes(talk) == [("pass", "")]
    assert cycle_of(talk).bath == "T1"


@pytest.mark.parametrize("colour", [0, 1])
def test_S4_S18_a_recall_of_the_strips_undoes_what_they_show(colour: int) -> None:
    """Their bottle is empty and thrown away: nothing else would say so."""
    talk = clinic()
    dip(talk)
    talk.sends("DISCARD S1", after=5)
    talk.let(Recalled("r1", "strip_lot", STRIPS, "L9", "", "digest", NINE))

    said = says(talk, colour, after=90)

    assert outcomes(talk) == [("no_result", "strips")]
    assert said[0].startswith("No result: the strip bottle is not good.")


# -- its container ------------------------------------------------------------------------------


def end_of_bath(talk: Talk, how: str) -> None:
    if how == "thrown away":
        talk.sends("DISCARD T1", after=5)
    elif how == "by another":
        talk.sends("DISCARD T1", after=5, phone="ph2")
    elif how == "condemned":
        talk.let(ContainerCondemned("T1", "figure_recalled"))
    elif how == "waits for the contact":
        talk.let(ContainerHeld("T1", "no_result"))
    else:
        bath = replace(talk.clinic.containers["T1"], discard_by=talk.now)
        containers = {**talk.clinic.containers, "T1": bath}
        talk.clinic = replace(talk.clinic, containers=containers)


ENDS = ["thrown away", "by another", "condemned", "waits for the contact", "out of date"]


@pytest.mark.parametrize("how", ENDS)
def test_S4_a_fail_is_taken_whatever_has_become_of_the_bath(how: str) -> None:
    talk = released()
    play_cycle(talk, "V2", until="read")
    end_of_bath(talk, how)

    said = says(talk, 1, after=90)

    gone = "It is noted as thrown away: let nobody use it"
    left = gone if how in {"thrown away", "by another"} else "Do not use it"
    assert said[0].startswith(f"T1 FAILED. {left}")
    assert outcomes(talk)[-1] == ("fail", "")
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert talk.happened(CaseOpened)[-1].cycles == (talk.clinic.devices["V1"].last_cycle,)
    assert step_of(talk, "V2") not in {"", "read"}


@pytest.mark.parametrize("how", ENDS)
def test_S4_a_pass_brings_no_bath_back(how: str) -> None:
    talk = clinic()
    dip(talk)
    end_of_bath(talk, how)
    before = talk.clinic.containers["T1"].fitness

    (said, *_) = says(talk, 0, after=90)

    assert "no strip can bring it back" in said
    assert talk.clinic.containers["T1"].fitness is before
    assert talk.clinic.threads == {}
    play_cycle(talk)
    assert [each.bath for each in talk.happened(Immersed)] == ["T2"]


def test_S4_who_throws_it_away_with_its_strip_in_hand_is_asked_for_the_colour() -> None:
    talk = released()
    play_cycle(talk, "V2", until="read")

    said = talk.sends("DISCARD T1", after=20)

    assert said[0].startswith("T1 is noted as thrown away.")
    assert len(said) == 2
    assert said[1] == (
        "T1: read the strip after 90 s by your watch. 1 all purple, 2 any blue or patchy, 3 not "
        "sure."
    )
    assert step_of(talk, "V2") == "read"
    says(talk, 0, after=75)
    assert outcomes(talk)[-1] == ("pass", "")
    assert step_of(talk, "V2") == "fill"


def test_S4_a_fail_finds_its_cycles_though_everything_was_thrown_away_before_it_was_read() -> None:
    talk = released()
    cycle = talk.clinic.devices["V1"].last_cycle
    dip(talk)
    talk.sends("DISCARD T1 B1 J1", after=20)

    says(talk, 1, after=75)

    assert talk.happened(CaseOpened)[-1].cycles == (cycle,)
    assert standings(talk)[0] is Standing.NOT_READY


def test_S4_the_bath_is_kept_as_well_while_a_strip_of_its_bottle_is_to_be_read() -> None:
    talk = released()
    cycle = talk.clinic.devices["V1"].last_cycle
    dip(talk, "B1")
    talk.sends("DISCARD T1 B1 J1", after=20)

    talk.sends(str(int(first_digit(talk, "B1")) + 1), after=75)

    assert talk.happened(CaseOpened)[-1].cycles == (cycle,)


def test_S4_what_is_read_is_forgotten_with_the_next_that_is_thrown_away() -> None:
    talk = clinic()
    dip(talk)
    talk.sends("DISCARD T1 B1 J1", after=20)
    says(talk, 0, after=75)

    talk.let(ContainerDiscarded("S1"))

    assert talk.clinic.containers == {}


def test_S4_a_second_strip_of_what_has_failed_already_alarms_nobody_again() -> None:
    talk = released()
    dip(talk)
    dip(talk, phone="ph2")
    first, second = (int(each.top.memo["first"]) for each in talk.clinic.threads.values())
    talk.sends(str(first + 1), after=60)
    cases, heard = len(talk.happened(CaseOpened)), len(talk.heard["ph9"])

    talk.sends(str(second + 1), after=50, phone="ph2")

    assert outcomes(talk)[-2:] == [("fail", ""), ("fail", "")]
    assert (len(talk.happened(CaseOpened)), len(talk.heard["ph9"])) == (cases, heard)


def test_S4_a_bath_forgotten_before_an_update_leaves_no_dead_end() -> None:
    talk = clinic()
    dip(talk)
    talk.clinic = replace(talk.clinic, containers={})

    (said,) = talk.sends("2", after=90)

    assert said.startswith("T1 is noted as thrown away: it is not for use")
    assert talk.clinic.threads == {}


# -- before the dip -----------------------------------------------------------------------------


def unchecked(talk: Talk) -> None:
    bottle = replace(talk.clinic.strips["S1"], checked=False)
    talk.clinic = replace(talk.clinic, strips={"S1": bottle})


@pytest.mark.parametrize("what", ["T1", "T1 B1 J1"])
def test_S4_thrown_away_while_its_strips_are_tested_it_is_not_asked_for(what: str) -> None:
    talk = clinic()
    unchecked(talk)
    play_cycle(talk, until="strips_check")
    talk.sends(f"DISCARD {what}", phone="ph2", after=20)

    tested, gone, *_ = talk.sends("good", after=100)

    assert tested.startswith("S1 is tested")
    assert gone.startswith("T1 is noted as thrown away: it is not for use")
    assert step_of(talk) in {"fill", "jug"}


def test_S4_a_test_by_itself_of_what_was_thrown_away_meanwhile_is_over() -> None:
    talk = clinic()
    unchecked(talk)
    talk.sends("TEST T1")
    talk.sends("DISCARD T1 B1 J1", phone="ph2", after=20)

    said = talk.sends("good", after=100)

    assert said[-1].startswith("T1 is noted as thrown away: it is not for use")
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("body", ["DIP", "DIP T1"])
def test_S4_who_is_still_asked_to_dip_in_what_is_gone_is_led_on(body: str) -> None:
    """So a conversation may stand that an earlier release has left."""
    talk = clinic()
    talk.sends("TEST T1")
    talk.clinic = replace(talk.clinic, containers={})

    (said,) = talk.sends(body, after=20)

    assert said.startswith("T1 is noted as thrown away: it is not for use")
    assert talk.clinic.threads == {}


# -- what has gone in since ---------------------------------------------------------------------


def test_S4_what_was_put_in_since_the_dip_uses_the_pass_up_though_it_came_out_again() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    dip(talk, phone="ph2")
    talk.sends("IN 23", after=20)
    talk.sends("AGAIN", after=20)

    says(talk, 0, after=50, phone="ph2")

    assert outcomes(talk)[-1] == ("pass", "")
    passed = talk.clinic.containers["T1"].passed
    assert passed is not None
    assert passed.used_by == f"{passed.test} before"
    play_cycle(talk, "V2", phone="ph2", until="dip")
    assert step_of(talk, "V2") == "dip"


def test_S4_what_is_in_since_the_dip_has_the_pass_for_itself() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    dip(talk, phone="ph2")
    talk.sends("IN 23", after=20)

    says(talk, 0, after=70, phone="ph2")

    passed = talk.clinic.containers["T1"].passed
    assert passed is not None
    assert passed.used_by == cycle_of(talk).id


def test_S4_what_was_in_it_at_the_dip_is_not_cleared_though_it_is_out_when_it_is_read() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    cycle = cycle_of(talk).id
    talk.wait(minutes=12)
    dip(talk, phone="ph2")
    play_cycle(talk, until="final_rinse")

    says(talk, 0, after=60, phone="ph2")

    bath = talk.clinic.containers["T1"]
    assert outcomes(talk)[-1] == ("pass", "")
    assert bath.cycles == (cycle,)
    assert bath.passed is not None
    assert bath.passed.used_by == f"{bath.passed.test} before"
    play_cycle(talk)
    fails(talk, "T1", phone="ph2")
    assert standings(talk) == [Standing.NOT_READY]


def test_S4_what_was_out_before_the_dip_is_cleared_though_something_has_gone_in_since() -> None:
    talk = released()
    first = talk.clinic.devices["V1"].last_cycle
    play_cycle(talk, "V2", until="immerse")
    dip(talk, phone="ph2")
    talk.sends("IN 23", after=20)

    says(talk, 0, after=70, phone="ph2")

    bath = talk.clinic.containers["T1"]
    assert bath.cycles == (cycle_of(talk, "V2").id,)
    assert first in bath.cleared[-1].cycles


def test_S4_what_is_at_work_and_may_have_been_put_in_again_is_not_cleared() -> None:
    row = Dip("t1", "S1", "L9", None, NINE, NINE, cycles=("c1", "c2"), running=("c2",))
    once = replace(row, put_in_since=False)

    assert (once.clears, once.is_used_up) == (("c1", "c2"), False)
    assert (row.clears, row.is_used_up) == (("c1",), True)
    assert replace(once, in_use_by="c3").is_used_up


# -- never read ---------------------------------------------------------------------------------


def test_S4_strips_dipped_and_never_read_are_strips_without_a_result() -> None:
    talk = clinic()
    dip(talk, phone="ph1")
    dip(talk, phone="ph2")
    talk.wait(minutes=3)

    talk.sends("TEST T1", phone="ph9", after=20)
    (held, asked) = dips(talk, "T1", "ph9")

    assert outcomes(talk) == [("no_result", "never_read")] * 2
    assert held == (
        "T1 is on hold: two strips of it have no result, as nobody read them. Your contact is "
        "told. Use another one. Read this strip all the same."
    )
    assert asked.startswith("T1: read the strip after 90 s by your watch.")
    assert talk.happened(ContainerHeld) == [ContainerHeld("T1", "no_result")]
    (third,) = (each for each in talk.clinic.threads.values() if each.phone == "ph9")
    talk.sends(third.top.memo["first"], phone="ph9", after=95)
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


def test_S4_two_cycles_given_up_over_their_strips_leave_the_bath_on_hold() -> None:
    talk = clinic()
    for _ in range(2):
        play_cycle(talk, until="read")
        talk.wait(minutes=3 * 60)
        assert talk.clinic.cycles == {}

    play_cycle(talk, until="read")

    assert outcomes(talk) == [("no_result", "never_read")] * 2
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


def test_S4_while_somebody_can_still_read_it_in_time_it_counts_for_nothing() -> None:
    talk = clinic()
    dip(talk)

    dip(talk, phone="ph2")

    assert outcomes(talk) == []
    assert len(talk.clinic.containers["T1"].dips) == 2


def test_S4_never_read_and_read_too_late_are_two_without_a_result() -> None:
    talk = clinic()
    dip(talk)
    talk.wait(minutes=3)
    dip(talk, phone="ph2")
    (second,) = (each for each in talk.clinic.threads.values() if each.phone == "ph2")

    said = talk.sends(second.top.memo["first"], phone="ph2", after=300)

    assert outcomes(talk) == [("no_result", "never_read"), ("no_result", "late")]
    assert said[0].startswith("T1: again no result. It is on hold")


@pytest.mark.parametrize(("colour", "outcome"), [(0, "no_result"), (1, "fail"), (2, "fail")])
@pytest.mark.parametrize("own_watch", [False, True])
def test_S4_one_that_counts_as_never_read_can_only_fail_any_more(
    colour: int, outcome: str, *, own_watch: bool
) -> None:
    talk = clinic()
    if own_watch:
        talk.let(SiteChoiceMade("site", "strip_timing", "own_watch", "digest"))
    dip(talk)
    talk.wait(minutes=3)
    dip(talk, phone="ph2")
    (first,) = (each for each in talk.clinic.threads.values() if each.phone == "ph1")

    talk.sends(str(int(first.top.memo["first"]) + colour), after=20)

    assert [each for each, _ in outcomes(talk)] == ["no_result", outcome]
    held = talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert not held  # it has been counted once


def test_S4_a_strip_that_nobody_read_yesterday_is_yesterdays() -> None:
    talk = clinic()
    dip(talk)
    talk.wait(minutes=60 * 24)
    dip(talk, phone="ph2")
    (second,) = (each for each in talk.clinic.threads.values() if each.phone == "ph2")

    talk.sends(second.top.memo["first"], phone="ph2", after=300)

    assert [each.day for each in talk.happened(StripRead)] == [date(2026, 3, 2), date(2026, 3, 3)]
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert talk.clinic.containers["T1"].no_result_on == date(2026, 3, 3)


def test_S4_S18_strips_that_are_recalled_before_they_are_read_cost_no_test() -> None:
    talk = clinic()
    dip(talk)
    talk.let(Recalled("r1", "strip_lot", STRIPS, "L9", "", "digest", NINE))
    talk.let(StripBottleOpened("S2", STRIPS, "L8", date(2027, 3, 31), NINE, WEEK, checked=True))
    talk.wait(minutes=3)

    dip(talk, phone="ph2")

    assert outcomes(talk) == []


def test_S4_S18_a_recall_of_strips_ends_no_reading_of_others() -> None:
    """What they had passed is on hold for just such a strip, and a fail finds its cycles."""
    talk = released()
    opened = StripBottleOpened("S2", STRIPS, "L8", date(2027, 3, 31), NINE, NINE, checked=True)
    talk.let(replace(opened, discard_by=WEEK - timedelta(hours=1)))
    play_cycle(talk, "V2", until="read")
    talk.let(Recalled("r1", "strip_lot", STRIPS, "L9", "", "digest", NINE))
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert step_of(talk, "V2") == "read"

    says(talk, 1)

    assert outcomes(talk)[-1] == ("fail", "")
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


def test_S15_what_was_dipped_and_read_is_made_again_from_the_record() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    dip(talk, phone="ph2")
    talk.wait(minutes=3)
    play_cycle(talk, "V2")
    dip(talk)

    assert talk.clinic.containers["T1"].dips
    assert fold_all(Clinic(), talk.entries) == talk.clinic

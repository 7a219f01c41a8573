"""S2: contact time is bounded by evidence, never by what a text claims."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Level
from flows.parts.events import (
    ClockStepped,
    DetergentSoakEnded,
    Immersed,
    SoakBroken,
    StripRead,
    TakenOut,
)
from flows.parts.moment import Moment
from tests.kit.cycles import (
    arrives,
    cycle_of,
    falsify,
    number_for,
    play_cycle,
    rings_late,
    step_of,
    thread_of,
    wait_for_bell,
)
from tests.kit.talk import NINE, Talk, clinic

MICROSECOND = timedelta(microseconds=1)
CONTACT = timedelta(minutes=12)
BELL = timedelta(minutes=13)


def soaking() -> Talk:
    """A device that has just gone into its bath."""
    talk = clinic()
    play_cycle(talk, until="soaking")
    return talk


def began(talk: Talk) -> Immersed:
    (immersed,) = talk.happened(Immersed)
    assert isinstance(immersed, Immersed)
    return immersed


def test_S2_a_soak_begins_when_in_is_handled_not_when_it_was_sent() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    sent_at = talk.now + timedelta(seconds=5)
    talk.wait(minutes=4)

    arrives(talk, "IN 23", sent_at)

    soak = cycle_of(talk).contact
    assert soak is not None
    assert soak.began == talk.now
    assert soak.due == talk.now + BELL


def test_S2_the_bell_rings_at_the_minimum_and_its_margin_and_not_before() -> None:
    talk = soaking()
    heard = len(talk.heard["ph1"])

    talk.wait(seconds=BELL.total_seconds() - 0.001)
    early = talk.heard["ph1"][heard:]
    talk.wait(seconds=0.001)

    assert early == []
    assert talk.last().startswith("V1: soak complete. Clean gloves on")
    assert talk.last().endswith(f"OUT {began(talk).number}")


def test_S2_the_question_of_the_soak_does_not_give_the_number_away() -> None:
    talk = soaking()

    told = [talk.last(), *talk.sends("hm", after=5), *talk.sends("LEFT", after=5)]

    assert not [text for text in told if str(began(talk).number) in text]


@pytest.mark.parametrize("body", ["OUT", "out.", "OUT 21.5", "OUT hm"])
def test_S2_a_bare_out_after_the_bell_never_completes_a_soak(body: str) -> None:
    talk = soaking()
    talk.wait(minutes=14)

    heard = talk.sends(body, after=20)

    assert talk.happened(TakenOut) == []
    assert step_of(talk) == "soaking"
    assert "the number in the bell's text" in heard[-1]


def test_S2_a_wrong_number_never_completes_a_soak() -> None:
    talk = soaking()
    talk.wait(minutes=14)
    wrong = 60 + (began(talk).number - 60 + 1) % 40

    talk.sends(f"OUT {wrong}", after=20)

    assert talk.happened(TakenOut) == []
    assert talk.happened(SoakBroken) == []
    assert step_of(talk) == "soaking"


def test_S2_the_right_number_guessed_before_the_bell_is_an_early_out() -> None:
    talk = soaking()
    talk.wait(minutes=12, seconds=59)

    talk.sends(f"OUT {began(talk).number}")

    assert talk.happened(TakenOut) == []
    assert [event.because for event in talk.happened(SoakBroken)] == ["early_out"]


@pytest.mark.parametrize(
    ("sent_after", "done"),
    [(CONTACT, True), (CONTACT - MICROSECOND, False), (timedelta(minutes=8), False)],
)
def test_S2_a_soak_ends_at_the_earliest_moment_the_evidence_allows(
    sent_after: timedelta, *, done: bool
) -> None:
    talk = soaking()
    start = talk.now
    talk.wait(minutes=13)

    arrives(talk, f"OUT {began(talk).number}", start + sent_after)

    assert [event.lasted for event in talk.happened(TakenOut)] == [CONTACT] * done
    assert [event.because for event in talk.happened(SoakBroken)] == ["too_short"] * (not done)


def test_S2_a_date_in_the_future_earns_no_time() -> None:
    talk = soaking()
    start = talk.now
    talk.wait(minutes=13)

    arrives(talk, f"OUT {began(talk).number}", talk.now + timedelta(hours=1))

    (out,) = talk.happened(TakenOut)
    assert out.ended == start + BELL
    assert out.lasted == BELL


def test_S2_left_before_the_time_is_up_tells_the_time_and_no_number() -> None:
    talk = soaking()

    (text,) = talk.sends("LEFT", after=60)

    assert text.startswith("V1: 12 min left, until ")


def test_S2_left_once_the_time_is_up_is_as_good_as_the_bell() -> None:
    talk = soaking()
    talk.now += BELL  # and nobody has rung

    (text,) = arrives(talk, "LEFT", talk.now)
    talk.sends(f"OUT {number_for(talk)}", after=20)

    assert text.endswith(f"OUT {began(talk).number}")
    assert len(talk.happened(TakenOut)) == 1


def test_S2_left_a_second_too_soon_does_not_ring() -> None:
    talk = soaking()
    talk.now += BELL - timedelta(seconds=1)

    (text,) = arrives(talk, "LEFT", talk.now)

    assert text.startswith("V1: 1 s left")


def test_S2_left_after_the_bell_says_the_number_again() -> None:
    talk = soaking()
    talk.wait(minutes=14)

    (text,) = talk.sends("LEFT")

    assert text.startswith("V1: its time is up. Clean gloves, take it out.")
    assert text.endswith(f"OUT {began(talk).number}")


def test_S2_left_where_nothing_soaks_says_so() -> None:
    talk = clinic()

    nothing = talk.sends("LEFT")
    play_cycle(talk, until="inspect")
    not_yet = talk.sends("LEFT")

    assert nothing == not_yet == ["Nothing is soaking on this phone now."]


def test_S2_a_clock_that_jumps_ahead_has_soaked_nothing() -> None:
    talk = soaking()
    before = cycle_of(talk).contact
    jump = timedelta(minutes=5)

    talk.now += jump
    talk.let(ClockStepped(jump))

    after = cycle_of(talk).contact
    assert before is not None
    assert after is not None
    assert (after.began, after.due) == (before.began + jump, before.due + jump)
    assert talk.clinic.bells[f"{cycle_of(talk).id}.contact"].due == after.due


@pytest.mark.parametrize("jump", [timedelta(0), timedelta(minutes=-5)])
def test_S2_a_clock_that_falls_back_makes_no_bell_earlier(jump: timedelta) -> None:
    talk = soaking()
    before = cycle_of(talk).contact
    number = f"{cycle_of(talk).id}.contact"
    bell = talk.clinic.bells[number]

    talk.let(ClockStepped(jump))

    assert cycle_of(talk).contact == before
    assert talk.clinic.bells[number] == bell


def test_S2_a_clock_that_jumps_ahead_delays_detergent_and_strip_but_no_nudge() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    before = {bell.kind: bell.due for bell in talk.clinic.bells.values()}
    jump = timedelta(minutes=5)

    talk.let(ClockStepped(jump))

    after = {bell.kind: bell.due for bell in talk.clinic.bells.values()}
    assert after == {
        "detergent": before["detergent"] + jump,
        "strip": before["strip"] + jump,
        "nudge": before["nudge"],
        "morning": before["morning"],
    }


def jumps(talk: Talk, minutes: float) -> None:
    talk.now += timedelta(minutes=minutes)
    talk.let(ClockStepped(timedelta(minutes=minutes)))


def test_S12_nor_does_it_hide_that_a_probe_was_left_in() -> None:
    talk = soaking()
    talk.wait(minutes=70)
    number = number_for(talk)
    talk.sends(f"OUT {number} 64")

    jumps(talk, 30)
    talk.sends(f"OUT {number} 23 C", after=20)

    assert [event.over_maximum for event in talk.happened(TakenOut)] == [True]
    assert step_of(talk) == "inspect_after"


def test_S3_what_is_out_has_not_been_out_for_longer_by_a_jump() -> None:
    talk = soaking()
    talk.sends("OUT", after=60)

    jumps(talk, 30)
    talk.sends(f"IN {number_for(talk)} 23", after=20)

    assert step_of(talk) == "soaking"


def test_S4_a_dip_that_came_late_is_no_older_by_a_jump() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    arrives(talk, "DIP T1", talk.now - timedelta(seconds=5))

    jumps(talk, 30)
    talk.sends("1", after=95)

    assert [event.outcome for event in talk.happened(StripRead)] == ["pass"]


def test_S2_a_jump_is_not_counted_at_the_release_either() -> None:
    talk = soaking()
    talk.now += timedelta(minutes=10)
    talk.let(ClockStepped(timedelta(minutes=10)))
    play_cycle(talk, until="cover")
    falsify(talk, TakenOut, lasted=timedelta(hours=1))

    heard = play_cycle(talk).heard

    assert heard[-1].startswith("V1 READY until ")  # 10 and 13 minutes by the entries' own times


# -- the detergent ------------------------------------------------------------------------------


def rinsing() -> Talk:
    talk = clinic()
    play_cycle(talk, until="rinse")
    return talk


def test_S2_the_detergent_is_proved_by_its_bells_number_too() -> None:
    talk = rinsing()
    right = int(number_for(talk))
    wrong = 60 + (right - 60 + 1) % 40

    bare = talk.sends("rinsed", after=20)
    other = talk.sends(f"rinsed {wrong}")
    both = talk.sends(f"rinsed {right} {right}")

    assert bare == [f"The number is missing: RINSED {right}"]
    assert other == both
    assert "number in my last text" in other[-1]
    assert talk.happened(DetergentSoakEnded) == []
    assert thread_of(talk, "V1").number == right  # type: ignore[union-attr]


def asked_long_ago(talk: Talk) -> None:
    """Hands have had their time: what is looked at is the soak alone."""
    thread = thread_of(talk, "V1")
    assert thread is not None
    asked = replace(thread, asked_at=thread.asked_at - timedelta(hours=1))
    talk.clinic = replace(talk.clinic, threads={**talk.clinic.threads, thread.id: asked})


@pytest.mark.parametrize(("short_by", "step"), [(timedelta(0), "dry"), (MICROSECOND, "under")])
def test_S2_detergent_time_that_was_only_a_jump_of_the_clock_is_soaked_again(
    short_by: timedelta, step: str
) -> None:
    talk = rinsing()
    soak = cycle_of(talk).detergent
    assert soak is not None
    talk.wait(seconds=20)
    talk.let(ClockStepped(talk.now - soak.began - timedelta(minutes=2) + short_by))
    asked_long_ago(talk)

    talk.sends(f"rinsed {number_for(talk)}")

    assert step_of(talk) == step


@pytest.mark.parametrize(("short_by", "step"), [(timedelta(0), "soaking"), (MICROSECOND, "under")])
def test_S2_on_brief_texts_in_ends_the_detergent_and_is_held_to_its_time(
    short_by: timedelta, step: str
) -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="immerse")
    soak = cycle_of(talk).detergent
    assert soak is not None
    talk.wait(seconds=20)
    talk.let(ClockStepped(talk.now - soak.began - timedelta(minutes=2) + short_by))
    asked_long_ago(talk)

    talk.sends(f"in {number_for(talk)} 23")

    assert step_of(talk) == step


def test_S2_the_detergents_bell_has_a_margin_of_its_own() -> None:
    talk = clinic()
    play_cycle(talk, until="await_detergent")
    soak = cycle_of(talk).detergent

    assert soak is not None
    assert soak.due - soak.began == timedelta(minutes=2, seconds=15)


def test_S2_a_bell_that_finds_hands_busy_says_that_it_may_stay_in() -> None:
    talk = clinic()
    play_cycle(talk, until="read")

    talk.wait(minutes=3)

    assert any("detergent time is up; it may stay in" in text for text in talk.heard["ph1"])
    assert step_of(talk) == "read"


def test_S2_after_that_the_rinse_is_asked_for_with_the_number() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    talk.wait(minutes=3)
    talk.sends("dip T1")
    talk.sends("1", after=95)

    soak = cycle_of(talk).detergent

    assert soak is not None
    assert step_of(talk) == "rinse"
    assert number_for(talk) == str(soak.number)


# -- the number ---------------------------------------------------------------------------------


def test_S2_a_number_cannot_be_taken_for_a_temperature_and_is_none_that_is_dead() -> None:
    all_but_one = frozenset(range(60, 100)) - {77}

    drawn = {Moment(NINE, f"token{n}").two_digits("contact") for n in range(2_000)}
    left = Moment(NINE, "token").two_digits("contact", never=all_but_one)

    assert drawn == set(range(60, 100))
    assert left == 77


def test_S2_equal_tokens_draw_equal_numbers_and_other_labels_others() -> None:
    one, same, other = Moment(NINE, "a"), Moment(NINE, "a"), Moment(NINE, "b")

    assert one.draw("x", 10**9) == same.draw("x", 10**9)
    assert len({one.draw("x", 10**9), one.draw("y", 10**9), other.draw("x", 10**9)}) == 3


def test_S2_the_bells_number_is_heard_when_the_bell_rings_late_too() -> None:
    talk = soaking()

    rings_late(talk, f"{cycle_of(talk).id}.contact", timedelta(minutes=3))

    assert talk.last().endswith(f"OUT {began(talk).number}")


def test_S2_waiting_takes_no_answer_and_no_answer_ends_it() -> None:
    talk = clinic()
    play_cycle(talk, until="await_detergent")

    talk.sends("rinsed 70", after=5)

    assert step_of(talk) == "await_detergent"
    wait_for_bell(talk)
    assert step_of(talk) == "rinse"


def test_S2_what_is_no_answer_to_the_rinse_gets_its_question_again() -> None:
    talk = rinsing()

    (text,) = talk.sends("hm", after=20)

    assert text == f"V1: rinsed 3 times? Reply RINSED {number_for(talk)}."

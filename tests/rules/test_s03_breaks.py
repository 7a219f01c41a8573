"""S3: a break starts again, under a new number; the slip stays on the record."""

from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

import pytest

from flows.parts.clinic import Fitness, Level, Standing
from flows.parts.events import (
    CleaningRestarted,
    CycleAbandoned,
    Immersed,
    SoakBroken,
    TakenOut,
)
from tests.kit.cycles import arrives, cycle_of, number_for, play_cycle, step_of, thread_of
from tests.kit.talk import Talk, clinic


def soaking() -> Talk:
    """A device that has just gone into its bath."""
    talk = clinic()
    play_cycle(talk, until="soaking")
    return talk


def bath_ends(talk: Talk, good_for: timedelta) -> None:
    """Let the bath's date be so long from now."""
    bath = replace(talk.clinic.containers["T1"], discard_by=talk.now + good_for)
    talk.clinic = replace(
        talk.clinic, containers=MappingProxyType({**talk.clinic.containers, "T1": bath})
    )


def breaks(talk: Talk) -> list[tuple[str, timedelta]]:
    return [(event.because, event.lasted) for event in talk.happened(SoakBroken)]


def test_S3_what_is_not_understood_is_asked_whether_it_was_moved() -> None:
    talk = soaking()

    before = talk.sends("hop", after=5)
    talk.wait(minutes=14)
    after = talk.sends("hop", after=5)

    assert before == [
        (
            "Not understood: nothing is noted. T1 or its strip not good? FAULT T1. Something "
            "added? TOPPED T1. V1 not in, moved, in doubt? V1 MOVED."
        ),
        "V1 stays in T1 until 12:22. Taken out or moved? Text OUT.",
    ]
    assert after[-1].startswith("V1: was it in until the bell? Then reply OUT and the number")


@pytest.mark.parametrize("body", ["OUT", "out", "OUT 21.5", "OUT 99"])
def test_S3_out_before_the_bell_is_zero_again_however_it_is_said(body: str) -> None:
    talk = soaking()
    talk.wait(minutes=5)

    (text,) = talk.sends(body)

    assert breaks(talk) == [("early_out", timedelta(minutes=5))]
    assert cycle_of(talk).contact is None
    assert step_of(talk) == "back_in"
    assert text.startswith("V1 came out 8 min too early.")


def test_S3_out_in_the_margin_after_the_contact_time_is_a_break_too() -> None:
    talk = soaking()
    talk.wait(minutes=12, seconds=30)

    (text,) = talk.sends("OUT")

    assert breaks(talk) == [("early_out", timedelta(minutes=12, seconds=30))]
    assert text.startswith("V1 came out 30 s too early.")


@pytest.mark.parametrize(("minutes", "is_broken"), [(5, True), (12.1, False)])
def test_S3_an_out_of_before_the_bell_breaks_it_though_a_carrier_brings_it_after(
    minutes: float, *, is_broken: bool
) -> None:
    """OPA soaks 12 minutes: what was sent later is asked for its number."""
    talk = soaking()
    sent = talk.now + timedelta(minutes=minutes)
    talk.wait(minutes=14)

    heard = arrives(talk, "OUT", sent)

    assert [because for because, _ in breaks(talk)] == ["early_out"] * is_broken
    assert is_broken or heard[0].startswith("V1: was it in until the bell?")


@pytest.mark.parametrize(("minutes", "again"), [(5, True), (12.1, False)])
def test_S2_nor_does_it_count_where_it_is_brought_once_the_soak_is_over(
    minutes: float, *, again: bool
) -> None:
    talk = soaking()
    sent = talk.now + timedelta(minutes=minutes)
    play_cycle(talk, until="final_dry")

    arrives(talk, "OUT", sent)

    assert [each.because for each in talk.happened(CleaningRestarted)] == ["early_out"] * again
    assert step_of(talk) == ("wipe_detergent" if again else "final_dry")


def test_S3_a_broken_soak_has_no_bell_and_frees_its_bath() -> None:
    talk = soaking()
    cycle = cycle_of(talk).id

    talk.sends("OUT", after=60)

    assert f"{cycle}.contact" not in talk.clinic.bells
    assert talk.clinic.containers["T1"].in_use_by is None


def test_S3_put_straight_back_it_soaks_again_in_full() -> None:
    talk = soaking()
    talk.sends("OUT", after=300)

    talk.sends(f"IN {number_for(talk)} 23", after=10)
    again = talk.now
    talk.wait(minutes=13)
    talk.sends(f"OUT {number_for(talk)}", after=10)

    (out,) = talk.happened(TakenOut)
    assert out.lasted == timedelta(minutes=13, seconds=10)
    assert cycle_of(talk).passes == 1
    assert talk.happened(Immersed)[1].due == again + timedelta(minutes=13)


def test_S3_back_in_bears_a_number_that_a_late_in_does_not_have() -> None:
    talk = soaking()
    talk.sends("OUT", after=300)

    talk.sends("IN 23", after=10)

    assert step_of(talk) == "back_in"
    assert len(talk.happened(Immersed)) == 1


def test_S3_touched_or_not_sure_it_is_cleaned_from_the_start() -> None:
    talk = soaking()
    talk.sends("OUT", after=300)

    talk.sends("again", after=10)

    assert step_of(talk) == "wipe_detergent"
    assert cycle_of(talk).done == {"inspect"}
    assert cycle_of(talk).passes == 2
    assert cycle_of(talk).bath is None


def test_S3_cleaned_from_the_start_nothing_earlier_counts() -> None:
    talk = soaking()
    talk.sends("OUT", after=300)
    talk.sends("again", after=10)

    play_cycle(talk)

    stated = [getattr(each.event, "what", "") for each in talk.entries]
    assert stated.count("wipe_detergent") == stated.count("dry") == 2
    assert stated.count("inspect") == 1
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S3_again_while_it_soaks_is_a_break() -> None:
    talk = soaking()

    talk.sends("again", after=60)

    assert breaks(talk) == [("asked", timedelta(0))]
    assert talk.happened(CleaningRestarted)[0].because == "asked"
    assert step_of(talk) == "wipe_detergent"


def test_S3_a_second_in_begins_the_soak_anew_under_a_new_number() -> None:
    talk = soaking()
    old = talk.happened(Immersed)[0]

    talk.sends("IN 24", after=300)

    new = talk.happened(Immersed)[1]
    assert breaks(talk) == [("second_in", timedelta(minutes=5))]
    assert new.due == old.due + timedelta(minutes=5)
    assert new.number != old.number
    assert step_of(talk) == "soaking"


def test_S3_a_second_in_into_a_cold_bath_must_be_warmed_first() -> None:
    talk = soaking()

    talk.sends("IN 19.9 C", after=300)

    assert breaks(talk)[0][0] == "second_in"
    assert step_of(talk) == "warm"


def test_S3_a_second_in_into_a_bath_gone_out_of_date_must_be_cleaned_again() -> None:
    talk = soaking()
    bath_ends(talk, timedelta(minutes=5))

    heard = talk.sends("IN 23", after=300)

    assert [because for because, _ in breaks(talk)] == ["second_in"]
    assert len(talk.happened(Immersed)) == 1
    assert heard[0].startswith("T1 is good to 12:13 only: too short for a whole soak. V1 must be")
    assert step_of(talk) == "wipe_detergent"


@pytest.mark.parametrize("level", list(Level))
def test_S3_an_old_number_is_dead(level: Level) -> None:
    talk = clinic(level=level)
    play_cycle(talk, until="soaking")
    dead = talk.happened(Immersed)[0].number
    talk.sends("OUT", after=300)
    talk.sends(f"IN {number_for(talk)} 23", after=10)
    talk.wait(minutes=13)

    talk.sends(f"OUT {dead}", after=20)

    assert talk.happened(TakenOut) == []
    assert step_of(talk) == "soaking"


def test_S3_no_number_of_a_cycle_is_given_twice_while_a_carrier_may_hold_the_first() -> None:
    talk = soaking()

    for _ in range(30):
        talk.sends("OUT", after=60)
        talk.sends(f"IN {number_for(talk)} 23", after=10)

    numbers: list[int] = [
        number for each in talk.entries if (number := _number_in(each.event)) is not None
    ]
    close = [numbers[at : at + 20] for at in range(len(numbers) - 20)]
    assert len(numbers) > 60
    assert [len(set(some)) for some in close] == [20] * len(close)


def _number_in(event: object) -> int | None:
    if isinstance(event, Immersed):
        return event.number
    frames = getattr(event, "frames", ())
    return frames[-1].number if frames else None


def test_S3_a_fault_breaks_the_soak_and_ends_the_cycle() -> None:
    talk = soaking()

    talk.sends("FAULT V1 cracked lens", after=300)

    assert breaks(talk) == [("fault", timedelta(minutes=5))]
    assert talk.happened(CycleAbandoned)[0].because == "fault"
    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED
    assert talk.clinic.containers["T1"].in_use_by is None
    assert thread_of(talk, "V1") is None


def test_S3_a_hand_over_asks_whether_it_stayed_in_and_yes_goes_on() -> None:
    talk = soaking()

    asked = talk.sends("TAKE V1", phone="ph2", after=60)
    play_cycle(talk, phone="ph2", until="final_rinse")

    assert any("Did it stay in, untouched" in text for text in [*asked, *talk.heard["ph2"]])
    assert breaks(talk) == []
    assert talk.happened(TakenOut)[0].lasted >= timedelta(minutes=13)


def test_S3_a_hand_over_of_what_moved_starts_again() -> None:
    talk = soaking()
    talk.sends("TAKE V1", phone="ph2", after=60)
    play_cycle(talk, phone="ph2", until="stayed")

    talk.sends("moved", phone="ph2", after=10)

    assert breaks(talk) == [("moved", timedelta(0))]
    assert step_of(talk) == "wipe_detergent"
    assert thread_of(talk, "V1").phone == "ph2"  # type: ignore[union-attr]


@pytest.mark.parametrize("step", ["dry", "final_dry"])
def test_S3_a_hand_over_where_nothing_soaks_asks_no_such_thing(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    talk.sends("TAKE V1", phone="ph2", after=60)
    play_cycle(talk, phone="ph2", until=step)

    assert not [text for text in talk.heard["ph2"] if "Did it stay in" in text]
    assert step_of(talk) == step


def test_S3_the_slip_stays_on_the_record_of_a_cycle_that_is_released() -> None:
    talk = soaking()
    talk.sends("OUT", after=300)

    play_cycle(talk)

    assert breaks(talk) == [("early_out", timedelta(minutes=5))]
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S3_a_bath_found_cold_at_out_soaked_nothing() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="20.0")
    talk.wait(minutes=13)

    heard = talk.sends(f"OUT {number_for(talk)} 19.9", after=20)

    assert [because for because, _ in breaks(talk)] == ["too_cold"]
    assert "under 20 C now" in heard[0]
    assert heard[1].startswith("V1: this soak cannot be counted.")
    assert step_of(talk) == "back_in"


@pytest.mark.parametrize(("good_for_s", "done"), [(800, True), (799.999999, False)])
def test_S3_a_bath_that_ran_out_of_date_meanwhile_soaked_nothing(
    good_for_s: float, *, done: bool
) -> None:
    talk = soaking()
    bath_ends(talk, timedelta(seconds=good_for_s))
    talk.wait(seconds=799.999999)

    talk.sends(f"OUT {number_for(talk)}")

    restarts = [event.because for event in talk.happened(CleaningRestarted)]
    assert len(talk.happened(TakenOut)) == done
    assert restarts == ["bath_out_of_date"] * (not done)

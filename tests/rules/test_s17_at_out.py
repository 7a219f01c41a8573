"""S17: a temperature told at OUT is read as carefully as one at IN."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.parts.events import AlertRaised, BathTooCold, SoakBroken, TakenOut
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def time_is_up(celsius: str = "23", most: str = "") -> Talk:
    """The bell has rung a minute ago."""
    talk = clinic()
    if most:
        chemistry = replace(talk.protocol.chemistry, maximum_temperature_c=Decimal(most))
        talk.protocol = replace(talk.protocol, chemistry=chemistry)
    play_cycle(talk, until="soaking", celsius=celsius)
    talk.wait(minutes=14)
    return talk


def comes_out(talk: Talk, reading: str, after: float = 0) -> list[str]:
    soak = cycle_of(talk).contact
    assert soak
    return talk.sends(f"OUT {soak.number} {reading}".strip(), after=after)


UNIT = "V1: was that C or F? If F, it is 17.7 C. Reply once more with C or F behind it, like OUT"
UNCLEAR = "V1: I cannot read that temperature. Please measure the bath again. Reply OUT"


@pytest.mark.parametrize(
    ("reading", "asked"),
    [
        ("64", UNIT),
        ("19.5 20.5", UNCLEAR),
        ("60F 15C", UNCLEAR),
        ("1O C", UNCLEAR),
        ("120", UNCLEAR),
    ],
)
def test_S17_a_doubtful_reading_at_out_is_asked_back(reading: str, asked: str) -> None:
    talk = time_is_up()

    (text,) = comes_out(talk, reading)

    assert text.startswith(asked)
    assert talk.happened(TakenOut) == []
    assert step_of(talk) == "soaking"


def test_S17_what_was_meant_decides() -> None:
    talk = time_is_up()
    comes_out(talk, "64")

    heard = comes_out(talk, "64 F", after=30)

    assert heard[0].startswith("T1 is under 20 C now: this soak of V1 does not count.")
    assert [event.celsius for event in talk.happened(BathTooCold)] == [Decimal("17.7")]
    assert step_of(talk) == "back_in"


def test_S17_once_in_doubt_a_reading_is_owed() -> None:
    talk = time_is_up()
    comes_out(talk, "64")

    (text,) = comes_out(talk, "", after=30)

    assert text.startswith(UNIT)
    assert talk.happened(TakenOut) == []


def test_S2_what_is_asked_back_makes_the_soak_no_longer_and_no_shorter() -> None:
    talk = time_is_up()
    comes_out(talk, "64")
    out = talk.now

    comes_out(talk, "70 F", after=14 * 60)

    (taken,) = talk.happened(TakenOut)
    assert taken.ended == out
    assert taken.celsius == Decimal("21.1")
    assert not taken.over_maximum
    assert step_of(talk) == "final_rinse"


def test_S12_nor_does_a_break_that_is_told_of_late_make_it_left_in() -> None:
    talk = time_is_up()
    comes_out(talk, "64")

    comes_out(talk, "64 F", after=58 * 60)

    assert talk.happened(SoakBroken)[0].because == "too_cold"
    assert "over_soaked" not in {event.cause for event in talk.happened(AlertRaised)}


def test_S17_the_third_reading_in_doubt_offers_a_person() -> None:
    talk = time_is_up()
    comes_out(talk, "64")

    again = [comes_out(talk, "71", after=10) for _ in range(3)]

    assert again[0][0].startswith("C or F? If it was F, that is 21.6 C.")
    assert again[2][0] == "I have asked your contact to call you."


def test_S17_near_the_limit_c_or_f_is_asked_too() -> None:
    talk = time_is_up("21")

    (text,) = comes_out(talk, "71")
    comes_out(talk, "71 F", after=20)

    assert text.startswith("V1: was that C or F? If F, it is 21.6 C.")
    assert step_of(talk) == "final_rinse"


@pytest.mark.parametrize(("reading", "kept"), [("30", True), ("30.1", False), ("40 C", False)])
def test_S17_a_maximum_is_a_limit_at_out_too(reading: str, *, kept: bool) -> None:
    """Chlorine 0.1 % up to 30 C: common practice, none published."""
    talk = time_is_up("23", most="30")

    heard = comes_out(talk, reading)

    assert len(talk.happened(TakenOut)) == kept
    assert kept or heard[0].startswith(
        f"T1 is at {reading.split(maxsplit=1)[0]} C, and the limit is 30 C"
    )
    assert [event.limit for event in talk.happened(BathTooCold)] == [Decimal(30)] * (not kept)
    assert kept or [event.because for event in talk.happened(SoakBroken)] == ["too_warm"]


def test_S1_what_was_too_warm_at_out_is_not_put_straight_back_where_it_may_not() -> None:
    talk = time_is_up("23", most="30")
    bath = replace(talk.clinic.containers["T1"], discard_by=talk.now + timedelta(minutes=5))
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "T1": bath})

    cold = comes_out(talk, "15 C")

    assert cold[0].startswith("T1 is at 15 C, and the limit is 20 C: this soak of V1 does not")
    assert "V1 must be cleaned again, then soaked in another bath." in cold[1]
    assert step_of(talk) == "wipe_detergent"


# -- a bare answer to what is owed ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "celsius"),
    [
        ("F", "21.1"),
        ("f please", "21.1"),
        ("70 F", "21.1"),
        ("70F", "21.1"),
        ("21.5 C", "21.5"),
        ("21.5", "21.5"),
        ("it", None),
        ("70", None),
        ("C?", None),
        ("C", None),
        ("F OR C", None),
        ("IT WAS 70 F", None),
    ],
)
def test_S17_where_c_or_f_is_asked_the_unit_or_the_reading_is_enough(
    said: str, celsius: str | None
) -> None:
    talk = time_is_up()
    comes_out(talk, "70")
    out = talk.now

    heard = talk.sends(said, after=30)

    taken = talk.happened(TakenOut)
    assert [str(event.celsius) for event in taken] == ([celsius] if celsius else [])
    assert all(event.ended == out for event in taken)
    assert step_of(talk) == ("final_rinse" if celsius else "soaking")
    assert heard


def test_S17_c_where_it_could_only_be_f_is_refused_as_it_is_with_its_number() -> None:
    talk = time_is_up()
    comes_out(talk, "70")

    (text,) = talk.sends("C", after=30)

    assert text == "That cannot be. Please look again and reply once more."


def test_S17_in_f_it_was_cold() -> None:
    talk = time_is_up()
    comes_out(talk, "64")

    heard = talk.sends("F", after=30)

    assert heard[0].startswith("T1 is under 20 C now")
    assert [event.because for event in talk.happened(SoakBroken)] == ["too_cold"]


@pytest.mark.parametrize("said", ["F", "21.5 C", "21.5"])
def test_S2_nothing_bare_ends_a_soak_that_nobody_has_said_it_is_out_of(said: str) -> None:
    talk = time_is_up()

    talk.sends(said, after=30)

    assert talk.happened(TakenOut) == []
    assert step_of(talk) == "soaking"


def test_S17_where_it_is_to_be_measured_again_a_bare_unit_is_no_reading() -> None:
    talk = time_is_up("21")
    comes_out(talk, "")

    talk.sends("C", after=30)
    unit = step_of(talk)
    talk.sends("21 C", after=30)

    assert unit == "soaking"
    assert [str(event.celsius) for event in talk.happened(TakenOut)] == ["21"]


def test_S17_a_unit_behind_a_newer_figure_is_not_put_behind_the_older() -> None:
    talk = time_is_up()
    comes_out(talk, "70")
    comes_out(talk, "67", after=20)

    talk.sends("F", after=20)

    assert talk.happened(TakenOut) == []
    assert step_of(talk) == "soaking"


@pytest.mark.parametrize(
    ("said", "celsius"),
    [("{number} F", []), ("{number}", []), ("{number} 21.5 C", ["21.5"]), ("{number}?", [])],
)
def test_S17_the_bell_number_is_no_temperature(said: str, celsius: list[str]) -> None:
    talk = time_is_up()
    comes_out(talk, "64")
    soak = cycle_of(talk).contact
    assert soak

    talk.sends(said.format(number=soak.number), after=20)

    assert [str(event.celsius) for event in talk.happened(TakenOut)] == celsius
    assert celsius or step_of(talk) == "soaking"


@pytest.mark.parametrize(("minutes", "counts"), [(14, True), (16, False), (240, False)])
def test_S17_a_bath_that_has_stood_since_says_nothing_of_how_warm_it_was(
    minutes: int, *, counts: bool
) -> None:
    """A quarter of an hour: common practice, no source."""
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("IN 20 C", after=20)
    talk.wait(minutes=14)
    talk.sends(f"OUT {number_for(talk)}", after=20)
    talk.wait(minutes=minutes)

    heard = talk.sends("23 C")

    assert bool(talk.happened(TakenOut)) is counts
    assert any("measured so long after it came out" in each for each in heard) is not counts


@pytest.mark.parametrize("time", ["at 12.48", "at 9", "12.48"])
def test_S17_a_time_of_the_clock_is_no_temperature(time: str) -> None:
    """It was read as 12.48 C, and a good soak was broken for a cold bath."""
    talk = time_is_up()

    (text,) = comes_out(talk, time)

    assert text.startswith(UNCLEAR)
    assert talk.happened(SoakBroken) == talk.happened(BathTooCold) == []


@pytest.mark.parametrize("time", ["at 12.10", "at 1210", "12:10"])
def test_S3_a_time_before_the_bell_is_asked_about(time: str) -> None:
    talk = time_is_up()

    (text,) = comes_out(talk, time)

    assert text.startswith("V1: was it in until the bell?")
    assert talk.happened(TakenOut) == []


@pytest.mark.parametrize("body", ["out? {n}", "OUT ? {n}", "? out {n}"])
def test_S17_a_question_mark_inside_asks_too(body: str) -> None:
    talk = time_is_up()
    soak = cycle_of(talk).contact
    assert soak

    (heard,) = talk.sends(body.format(n=soak.number))

    assert heard.startswith("Is that a question? Nothing is noted yet.")
    assert talk.happened(TakenOut) == []

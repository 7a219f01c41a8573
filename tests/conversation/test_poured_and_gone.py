"""What is poured from or tested, and is empty, thrown away or recalled meanwhile (S4, S6)."""

from datetime import date, timedelta

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import ContainerDiscarded, JugOpened, Poured, Recalled
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import dips
from tests.kit.talk import NINE, Talk, clinic

IS_EMPTY = (
    "Is J1 empty, or too little in it? Throw it away and text DISCARD J1: I name another. What "
    "you pour into must be empty too, washed and dry."
)
NOT_NOTED = (
    "Nothing is noted as poured from J1. If you have just poured from it, throw that away too and "
    "take a clean container."
)
GONE_MEANWHILE = (
    "J1 is noted as thrown away. What has just been poured from it is not for use: throw it "
    "away. Reply EMPTY, and I name another to pour from."
)
RECALLED = (
    "Nothing is noted as poured from J1. What has just been poured from it is not for use "
    "either: do with it as with J1."
)
NOT_READ = "T1 is noted as thrown away: its strip is not read any more, and T1 is not for use."


def sources(talk: Talk) -> list[str]:
    return [event.source for event in talk.happened(Poured)]


def two_jugs(*, cleaning: bool) -> Talk:
    """J1 is being poured into a bottle, as it ends first; J2, of another lot, stands by."""
    talk = clinic(bath=False)
    later = NINE + timedelta(days=9)
    talk.let(
        ContainerDiscarded("B1"),
        JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, later, "jug_open_life"),
    )
    if cleaning:
        play_cycle(talk, until="fill")
    else:
        talk.sends("POUR J1")
    assert talk.last().startswith("Pour J1 into an empty, washed, dry working bottle.")
    return talk


IN_OR_OUT = pytest.mark.parametrize("cleaning", [True, False])


@IN_OR_OUT
def test_S6_a_jug_that_is_empty_is_thrown_away_and_another_is_named(*, cleaning: bool) -> None:
    talk = two_jugs(cleaning=cleaning)
    before = sources(talk)

    asked = talk.sends("EMPTY", after=20)
    _, not_noted, named = talk.sends("DISCARD J1", after=20)
    talk.sends("FILLED", after=20)

    assert asked == [IS_EMPTY]
    assert not_noted == NOT_NOTED
    assert named.startswith("Pour J2 into an empty, washed, dry working bottle.")
    assert sources(talk) == [*before, "J2"]


@IN_OR_OUT
@pytest.mark.parametrize("answer", ["EMPTY", "FILLED", "TOPPED"])
def test_S6_what_another_has_thrown_away_is_said_at_once_and_no_answer_counts_for_a_second(
    answer: str, *, cleaning: bool
) -> None:
    talk = two_jugs(cleaning=cleaning)
    before, heard = sources(talk), len(talk.heard["ph1"])

    talk.sends("DISCARD J1", phone="ph2", after=20)
    told = talk.heard["ph1"][heard:]
    _, named = talk.sends(answer, after=1 if answer == "EMPTY" else 20)

    assert told == [GONE_MEANWHILE]
    assert named.startswith("Pour J2 into an empty, washed, dry working bottle.")
    assert sources(talk) == before


@IN_OR_OUT
def test_S18_whoever_is_pouring_from_what_is_recalled_hears_what_becomes_of_it(
    *, cleaning: bool
) -> None:
    talk = two_jugs(cleaning=cleaning)
    before = sources(talk)

    talk.let(Recalled("r1", "lot", "opa_055", "L1", "", "digest", NINE))

    assert RECALLED in talk.heard["ph1"]
    assert sources(talk) == before


def test_S18_who_pours_from_another_lot_is_left_alone() -> None:
    talk = two_jugs(cleaning=False)

    talk.let(Recalled("r1", "lot", "opa_055", "L2", "", "digest", NINE))

    assert RECALLED not in talk.heard["ph1"]
    assert [each.top.step for each in talk.clinic.threads.values()] == ["fill"]


def test_S4_a_bath_that_another_throws_away_before_the_dip_ends_its_test_with_a_word() -> None:
    talk = clinic()
    talk.sends("TEST T1")
    heard = len(talk.heard["ph1"])

    talk.sends("DISCARD T1", phone="ph2", after=20)

    assert talk.heard["ph1"][heard:] == [NOT_READ]
    assert not talk.clinic.threads


def test_S4_a_bath_that_another_throws_away_after_the_dip_is_read_all_the_same() -> None:
    talk = clinic()
    talk.sends("TEST T1")
    dips(talk, "T1")
    heard = len(talk.heard["ph1"])

    talk.sends("DISCARD T1", phone="ph2", after=20)

    told, asked = talk.heard["ph1"][heard:]
    assert told == (
        "T1 is noted as thrown away and is not for use. Its strip still counts: read it all the "
        "same."
    )
    assert asked.startswith("T1: read the strip after 90 s by your watch.")


def test_S4_who_throws_away_what_they_are_to_dip_in_is_told_once() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")

    heard = talk.sends("DISCARD T1", after=20)

    assert NOT_READ not in heard
    assert step_of(talk) == "fill"


def test_S4_a_strip_that_somebody_takes_over_is_read_though_all_is_thrown_away_meanwhile() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    play_cycle(talk, "V2", until="read")
    talk.sends("TAKE V2", phone="ph2", after=10)
    talk.sends("DISCARD T1 B1 J1", phone="ph9", after=10)
    talk.sends("READY", phone="ph2", after=20)
    talk.sends("STAYED", phone="ph2", after=10)
    assert step_of(talk, "V2") == "read"

    talk.sends("2", phone="ph2", after=60)

    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY

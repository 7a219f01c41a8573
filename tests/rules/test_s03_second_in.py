"""S3: IN said while it soaks says that it was out, whatever else is clear of the text."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Kind, Level, Standing
from flows.parts.events import CleaningRestarted, Immersed, Poured, PutInBath, SoakBroken, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic

SIX = 6 * 60


def soaking(level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until="soaking")
    return talk


def breaks(talk: Talk) -> list[str]:
    return [event.because for event in talk.happened(SoakBroken)]


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(
    "body",
    ["IN", "IN T1", "IN 68", "in t1 68", "IN 120", "IN 5 MIN AGO", "BACK IN", "PUT IN"],
)
def test_S3_in_breaks_the_soak_and_its_temperature_is_asked_for(level: Level, body: str) -> None:
    talk = soaking(level)
    dead = talk.happened(Immersed)[0].number

    (text,) = talk.sends(body, after=SIX)
    asked = step_of(talk)
    talk.sends(f"IN {number_for(talk)} 23", after=20)
    talk.wait(minutes=8)
    talk.sends(f"OUT {dead}")

    assert text.startswith("V1: in once more, so its soak begins anew. Untouched, back in T1?")
    assert asked == "back_in"
    assert breaks(talk)[0] == "second_in"
    assert talk.happened(TakenOut) == []
    assert talk.clinic.devices["V1"].standing is Standing.IN_CYCLE


@pytest.mark.parametrize(
    "body", ["IN T1 23", "IN 23 T1", "BACK IN 23", "put in t1 23", "IN 73.4F", "IN23"]
)
def test_S3_with_its_temperature_it_begins_anew_at_once(body: str) -> None:
    talk = soaking()
    old = talk.happened(Immersed)[0]

    talk.sends(body, after=SIX)

    new = talk.happened(Immersed)[1]
    assert breaks(talk) == ["second_in"]
    assert new.due == old.due + timedelta(seconds=SIX)
    assert new.number != old.number


@pytest.mark.parametrize("body", ["IN T2 23", "IN T2", "IN T9 23"])
def test_S3_in_another_bath_it_is_cleaned_from_the_start(body: str) -> None:
    talk = soaking()
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", talk.now, ends, "bath", topped_up=False)
    )

    talk.sends(body, after=SIX)

    assert breaks(talk) == ["second_in"]
    assert [each.bath for each in talk.happened(PutInBath)] == [body.split()[1]]
    assert len(talk.happened(CleaningRestarted)) == 1
    assert step_of(talk) == "wipe_detergent"
    assert talk.clinic.containers["T1"].in_use_by is None


def test_S21_in_the_bath_where_another_soaks_both_are_void() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    play_cycle(talk, "V2", phone="ph2", until="soaking")

    talk.sends("IN T2 23", after=20)

    assert sorted(breaks(talk)) == ["second_device", "second_in"]
    assert step_of(talk, "V1") == step_of(talk, "V2") == "wipe_detergent"


LEAVE_IT = "V1 stays in T1 until"


@pytest.mark.parametrize(
    "body",
    [
        *("in 5 min", "In how many minutes", "IN TIME", "in 5 mins please", "in5 minutes"),
        *("in 12", "in 14 ok", "IN 0"),
    ],
)
@pytest.mark.parametrize("level", list(Level))
def test_S3_a_question_about_time_is_told_the_time_and_breaks_nothing(
    level: Level, body: str
) -> None:
    talk = soaking(level)

    *_, text = talk.sends(body, after=SIX)

    assert text.startswith(LEAVE_IT)
    assert text.endswith("Taken out or moved? Text OUT.")
    assert breaks(talk) == []


@pytest.mark.parametrize(
    "body",
    [
        *("IN 5 MIN AGO", "in since 5 min", "IN T1 5 MIN", "IN 23 5 MIN", "in for 5 min"),
        *("PUT IN TIME", "IN 12 C", "IN 15", "IN 12 T1", "IN 12.5", "in 5 min T2"),
    ],
)
def test_S3_what_may_say_that_it_was_in_once_more_breaks_it_whatever_time_it_tells(
    body: str,
) -> None:
    talk = soaking()

    talk.sends(body, after=SIX)

    assert breaks(talk)[0] == "second_in"


@pytest.mark.parametrize("body", ["IN?", "is it in?", "72"])
def test_S3_a_question_is_no_in(body: str) -> None:
    talk = soaking()

    (text,) = talk.sends(body, after=SIX)

    assert breaks(talk) == []
    assert text.startswith(LEAVE_IT)


@pytest.mark.parametrize("body", ["IN 23", "IN T1 23"])
def test_S10_a_carriers_double_of_the_in_costs_time_and_nothing_else(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends(body, after=20)

    talk.sends(body, after=3)
    play_cycle(talk)

    assert talk.happened(CleaningRestarted) == []
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED

"""S1: a figure made stricter in mid-cycle, and the step that was done by the laxer one."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Kind, Level, Role, Standing
from flows.parts.events import (
    CycleAbandoned,
    PersonEnrolled,
    Poured,
    Released,
    SiteChoiceMade,
    StepDone,
    TakenOut,
)
from flows.parts.text import LONGEST
from flows.protocols.compare import FACTS, LAXER, Laxer
from flows.rules.held_since import DATED, MEASURED, NO_STEP, SEEN
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

STRIP, CHEMISTRY, DEVICE, DETERGENT = "strip", "chemistry", "device_model", "detergent"

DONE_BY_IT = [
    (STRIP, "strips_per_test", 3, "dip"),
    (STRIP, "qc_positive", 5, "dip"),
    (STRIP, "qc_negative", 5, "dip"),
    (STRIP, "read_within", timedelta(seconds=6), "dip"),
    (CHEMISTRY, "rinse_volume_l", Decimal(12), "final_rinse"),
    (CHEMISTRY, "rinse_count", 5, "final_rinse"),
    (DETERGENT, "soak_volume_ml", 1000, "mix"),
    (DETERGENT, "water_minimum_c", Decimal(35), "mix"),
    (DETERGENT, "water_maximum_c", Decimal(41), "mix"),
]
"""A figure, a stricter value, and the step that is asked for by it."""


def chosen(talk: Talk, part: str, key: str, value: object) -> str:
    """At the desk, just now; its name in the record."""
    product = getattr(talk.protocol, part)
    talk.protocol = replace(talk.protocol, **{part: replace(product, **{key: value})})
    talk.let(SiteChoiceMade(product.name, key, "as typed", ""))
    return f"{product.name}.{key}"


def why(talk: Talk) -> list[str]:
    return [each.because for each in talk.happened(CycleAbandoned)]


def test_every_stricter_figure_is_measured_or_judged_by_when_it_was_asked_for() -> None:
    """A figure that somebody adds has to be put into one of them."""
    stricter = {key for key, laxer in LAXER.items() if laxer is not Laxer.EITHER}

    known = [*MEASURED, *DATED, *NO_STEP, *SEEN]

    assert stricter == {*known}
    assert len(known) == len({*known})


def test_the_longest_figure_that_can_be_named_has_room_in_its_text() -> None:
    assert max(map(len, {*LAXER, *FACTS} - NO_STEP)) <= len(LONGEST["figure"])


@pytest.mark.parametrize(("part", "key", "value"), [each[:3] for each in DONE_BY_IT])
@pytest.mark.parametrize("level", Level)
def test_S1_what_was_done_by_less_than_todays_figure_is_not_released(
    part: str, key: str, value: object, level: Level
) -> None:
    """Step by step as on brief texts."""
    talk = clinic(level=level)
    play_cycle(talk, until="cover")
    talk.wait(minutes=4)
    figure = chosen(talk, part, key, value)

    heard = play_cycle(talk).heard[-1]

    assert why(talk) == [f"not_todays:{figure}"]
    assert f"its protocol has changed since it was begun ({key})" in heard
    assert not talk.happened(Released)


@pytest.mark.parametrize(("part", "key", "value", "step"), DONE_BY_IT)
def test_S1_what_is_asked_for_by_todays_figure_is_released(
    part: str, key: str, value: object, step: str
) -> None:
    talk = clinic()
    before = {"dip": "under", "final_rinse": "soaking", "mix": "wipe_rinse"}
    play_cycle(talk, until=before[step])
    chosen(talk, part, key, value)
    talk.wait(seconds=1)

    play_cycle(talk)

    assert why(talk) == []
    assert talk.happened(Released)


@pytest.mark.parametrize(("part", "key", "value", "step"), DONE_BY_IT)
def test_S1_a_figure_chosen_while_its_step_is_asked_for_comes_too_late_for_the_text(
    part: str, key: str, value: object, step: str
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    talk.wait(seconds=1)
    figure = chosen(talk, part, key, value)

    play_cycle(talk)

    assert why(talk) == [f"not_todays:{figure}"] or key == "read_within"


def test_S1_an_answer_in_one_text_proves_no_time_between_its_parts() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="soaking")
    figure = chosen(talk, CHEMISTRY, "wipe_wet_time", timedelta(minutes=5))

    play_cycle(talk)

    assert why(talk) == [f"not_todays:{figure}"]


def test_S1_a_wipe_that_was_left_wet_for_as_long_as_is_asked_today_stands() -> None:
    talk = clinic()
    play_cycle(talk, until="wipe_rinse")
    talk.wait(minutes=6)
    play_cycle(talk, until="cover")
    chosen(talk, CHEMISTRY, "wipe_wet_time", timedelta(minutes=5))

    play_cycle(talk)

    assert talk.happened(Released)


@pytest.mark.parametrize(
    ("part", "key", "value"),
    [(DETERGENT, "ml_per_litre", Decimal(16)), (STRIP, "read_after", timedelta(seconds=120))],
)
def test_S1_a_cycle_that_cannot_be_released_any_more_ends_with_its_next_text(
    part: str, key: str, value: object
) -> None:
    """Else somebody works on for half an hour in vain."""
    talk = clinic()
    play_cycle(talk, until="wipe_water")
    figure = chosen(talk, part, key, value)

    (heard,) = talk.sends("WATER", after=20)

    assert why(talk) == [f"not_todays:{figure}"]
    assert heard == (
        f"V1 is NOT READY: its protocol has changed since it was begun ({key}). Clean it again: "
        "CLEAN V1. Your contact is told."
    )
    assert not talk.clinic.cycles


def test_S1_its_last_act_is_on_the_record_all_the_same() -> None:
    talk = clinic()
    play_cycle(talk, until="wipe_water")
    chosen(talk, DETERGENT, "ml_per_litre", Decimal(16))

    talk.sends("WATER", after=20)

    assert [each.what for each in talk.happened(StepDone)][-1] == "wipe_water"


def test_S1_begun_again_it_is_led_by_the_new_figure_to_its_release() -> None:
    talk = clinic()
    play_cycle(talk, until="wipe_water")
    chosen(talk, DETERGENT, "ml_per_litre", Decimal(16))
    talk.sends("WATER", after=20)

    play_cycle(talk)

    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S8_S12_what_soaks_ends_only_once_it_is_out() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    chosen(talk, DETERGENT, "ml_per_litre", Decimal(16))
    talk.wait(minutes=13)

    rung = talk.last()
    (heard,) = talk.sends(f"OUT {talk.number()}", after=20)

    assert "take it out" in rung
    assert "(ml_per_litre)" in heard
    assert len(talk.happened(TakenOut)) == 1


def test_S13_what_is_cleaned_for_repair_has_no_release_to_miss() -> None:
    talk = clinic()
    talk.sends("FAULT V1", after=20)
    play_cycle(talk, until="wipe_water")
    chosen(talk, DETERGENT, "ml_per_litre", Decimal(16))

    play_cycle(talk)

    assert why(talk) == []


def test_S2_a_margin_made_longer_while_it_soaked_is_not_made_up_for() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    figure = chosen(talk, CHEMISTRY, "bell_margin", timedelta(minutes=3))

    play_cycle(talk)

    assert why(talk) == [f"not_todays:{figure}"]


def test_S2_a_margin_that_it_has_soaked_for_stands() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.wait(minutes=15)
    play_cycle(talk, until="cover")
    chosen(talk, CHEMISTRY, "bell_margin", timedelta(minutes=3))

    play_cycle(talk)

    assert talk.happened(Released)


def test_S12_a_shorter_maximum_asks_for_an_inspection_that_nobody_has_made() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    figure = chosen(talk, CHEMISTRY, "maximum_soak", timedelta(minutes=13))

    play_cycle(talk)

    assert talk.happened(TakenOut)[0].lasted > timedelta(minutes=13)
    assert why(talk) == [f"not_todays:{figure}"]


@pytest.mark.parametrize(("most", "ends"), [(1, ["not_todays:opa_055.bath_uses_max"]), (2, [])])
def test_S5_a_bath_that_had_more_soaks_than_are_allowed_today_is_no_bath(
    most: int, ends: list[str]
) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V2")
    play_cycle(talk, until="cover")
    chosen(talk, CHEMISTRY, "bath_uses_max", most)

    play_cycle(talk)

    assert why(talk) == ends


@pytest.mark.parametrize(
    ("part", "key", "value"),
    [
        (CHEMISTRY, "bath_uses_max", 2),
        (CHEMISTRY, "bell_margin", timedelta(minutes=3)),
        (DEVICE, "bath_volume_ml", 400),
    ],
)
def test_S1_what_is_chosen_before_the_probe_goes_in_is_what_it_soaks_by(
    part: str, key: str, value: object
) -> None:
    talk = clinic()
    play_cycle(talk, until="wipe_water")
    chosen(talk, part, key, value)
    play_cycle(talk, until="immerse")

    assert why(talk) == []


@pytest.mark.parametrize(("held", "ends"), [(None, 1), (Decimal(200), 1), (Decimal(400), 0)])
def test_S1_a_bath_of_less_than_todays_figure_covers_no_probe(
    held: Decimal | None, ends: int
) -> None:
    talk = clinic(bath=False)
    week = talk.now + timedelta(days=7)
    bath = ("T1", Kind.BATH, "B1", "opa_055", "L1", talk.now, week, "reuse_life")
    talk.let(Poured(*bath, topped_up=False, volume_ml=held))
    play_cycle(talk, until="cover")
    figure = chosen(talk, DEVICE, "bath_volume_ml", 400)

    play_cycle(talk)

    assert why(talk) == [f"not_todays:{figure}"] * ends


@pytest.mark.parametrize("key", ["strips_per_test", "read_within"])
def test_S4_a_strip_of_before_the_cleaning_was_dipped_by_the_figure_of_then(key: str) -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    talk.sends("DIP", after=20)
    talk.sends("1", after=95)
    play_cycle(talk, until="cover")
    value = {"strips_per_test": 3, "read_within": timedelta(seconds=6)}[key]
    figure = chosen(talk, STRIP, key, value)

    play_cycle(talk)

    assert why(talk) == [f"not_todays:{figure}"]


def test_S1_a_figure_of_a_new_release_of_the_program_has_no_hour_and_counts_from_the_first() -> (
    None
):
    talk = clinic()
    play_cycle(talk, until="final_dry")
    litres = replace(talk.protocol.chemistry, rinse_volume_l=Decimal(12))
    talk.protocol = replace(talk.protocol, chemistry=litres)

    play_cycle(talk)

    assert why(talk) == ["not_todays:opa_055.rinse_volume_l"]


def test_S1_of_two_figures_that_only_together_ask_for_more_the_second_is_named() -> None:
    """Three rinses of a minute took 400 s; five, or two minutes each, would have fitted in."""
    talk = clinic()
    play_cycle(talk, until="final_rinse")
    talk.wait(seconds=210)
    play_cycle(talk, until="cover")
    rinses = {"rinse_count": 5, "rinse_each_for": timedelta(minutes=2)}
    talk.protocol = replace(talk.protocol, chemistry=replace(talk.protocol.chemistry, **rinses))

    play_cycle(talk)

    assert why(talk) == ["not_todays:opa_055.rinse_each_for"]


def test_S1_what_the_drain_is_owed_holds_up_no_release() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    chosen(talk, CHEMISTRY, "neutraliser_g_per_l", Decimal(10))

    play_cycle(talk)

    assert talk.happened(Released)


def test_S1_whoever_releases_what_another_has_covered_is_told_of_a_change_meanwhile() -> None:
    talk = clinic()
    talk.let(PersonEnrolled("p1", 1, Role.WORKER, Level.COACH, may_release=False, language="en"))
    play_cycle(talk, until="sign_off")
    talk.sends("TAKE V1", phone="ph2", after=20)
    talk.sends("READY", phone="ph2", after=20)
    figure = chosen(talk, CHEMISTRY, "rinse_volume_l", Decimal(12))

    (heard,) = talk.sends("WHOLE", phone="ph2", after=20)

    assert why(talk) == [f"not_todays:{figure}"]
    assert heard.startswith("V1 is NOT READY: its protocol has changed")

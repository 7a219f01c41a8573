"""What to pack, exact for days whose numbers are known. Acts: common practice, no source.

Figures of products: OPA 0.55 %, 3 rinses of 8 l (from memory: product instructions); detergent
7.8 ml to a litre (an instrument maker's care manual, p. 8); strips before each use (FDA 2000).
"""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from flows.calculations.chlorine_source import source_as_written
from flows.calculations.measuring import measure_as_written
from flows.calculations.mixed_fresh import MadeOf
from flows.calculations.packing import Item, fillings_of, packing
from flows.calculations.planning import Plan, planned
from flows.calculations.schedule import Day
from flows.protocols.model import CycleProtocol, Selection
from tests.kit.talk import shipped_protocol

NINE_HOURS = timedelta(hours=9)
TWELVE = Day(patients=12, probes=2, baths=1, people=1, exam=timedelta(minutes=10))
PROTOCOL = shipped_protocol()


def soaked(**figures: Any) -> CycleProtocol:
    return replace(PROTOCOL, chemistry=replace(PROTOCOL.chemistry, **figures))


def plan(protocol: CycleProtocol = PROTOCOL, day: Day = TWELVE) -> Plan:
    return planned(day, protocol)


def packed(protocol: CycleProtocol = PROTOCOL, **options: Any) -> dict[str, Item]:
    return {item.slug: item for item in packing(plan(protocol), NINE_HOURS, **options)}


def amounts(items: dict[str, Item]) -> dict[str, tuple[int, str]]:
    return {slug: (item.amount, item.unit) for slug, item in items.items()}


def test_twelve_patients_with_two_probes() -> None:
    """Towels 12 x 8. Detergent 12 x 0.5 l x 7.8 ml, so 12 x 4. OPA: one bath of 150 ml, one
    more, and 12 x 10 ml; 6.7 g of glycine to a litre, so 2 g to each bath. Water 12 x 3 x 8 l; for
    each batch 0.5 l, and 3 x 0.5 l to rinse it off. Strips 12 and 1; 3 + 3 for a new bottle. Two
    drapes for two probes. Gloves 12 x (2 + 1)."""
    assert amounts(packed()) == {
        "towels": (96, ""),
        "detergent": (48, "ml"),
        "detergent_water": (24, "l"),
        "disinfectant": (420, "ml"),
        "neutraliser": (4, "g"),
        "rinse_water": (288, "l"),
        "strips": (13, ""),
        "strips_check": (6, ""),
        "drapes": (2, ""),
        "covers": (12, ""),
        "gloves": (36, ""),
    }


def test_each_line_has_its_reason() -> None:
    assert [item.slug for item in packed().values() if not item.reason] == []
    assert packed()["disinfectant"].reason == (
        "1 x 150 ml to fill baths to the line of a handheld probe (one for each bath in use, "
        "good all day), 1 more in case a strip fails, and 10 ml a cycle to wipe handle and cable"
    )


@pytest.mark.parametrize(
    ("own", "ratio", "amount"),
    [
        ("", "7.8", 12 * 4),
        ("cap 5 ml", "7.8", 12 * 5),
        ("cap 2.5 ml", "7.8", 12 * 5),
        ("cap 20 ml", "7.8", 12 * 4),
        ("spoon 5 g", "7.8", 12 * 4),
        ("", "1", 12 * 1),
    ],
    ids=["whole ml", "cap", "smaller cap", "too coarse", "of powder", "hardly to be measured"],
)
def test_each_batch_of_detergent_is_measured_out_by_itself(
    own: str, ratio: str, amount: int
) -> None:
    """A batch is 0.5 l: 3.9 ml of it are 4, one cap of 5 or two of 2.5; half a ml is one."""
    detergent = replace(PROTOCOL.detergent, ml_per_litre=Decimal(ratio))
    items = packed(replace(PROTOCOL, detergent=detergent), cap=measure_as_written(own))

    assert items["detergent"].amount == amount


def test_sixty_batches_of_detergent_are_each_rounded_up() -> None:
    """60 x 4 ml, or 60 caps of 5; 60 x 3.9 would be 234, with which five batches go without."""
    many = plan(day=replace(TWELVE, patients=60))
    by_ml, by_cap = (
        {item.slug: item for item in packing(many, NINE_HOURS, cap=measure_as_written(own))}
        for own in ("", "cap 5 ml")
    )

    assert (by_ml["detergent"].amount, by_cap["detergent"].amount) == (240, 300)
    assert by_cap["detergent"].reason == (
        "7.8 ml to a litre, 500 ml of water a batch, so 5 ml each as it is measured, batches: 60"
    )


def test_one_batch_of_detergent_does_where_its_maker_allows() -> None:
    shared = replace(PROTOCOL, detergent=replace(PROTOCOL.detergent, one_batch_per_device=False))

    assert packed(shared)["detergent"].amount == 4  # 0.5 l x 7.8 ml/l = 3.9
    assert packed(shared)["detergent_water"].amount == 19  # 0.5 l, and 12 x 1.5 l


def test_the_baths_own_volume_counts_where_it_is_known() -> None:
    assert packed(bath_ml=1000)["disinfectant"].amount == 2 * 1000 + 120


@pytest.mark.parametrize(
    ("figures", "options", "grams"),
    [
        ({"neutraliser_g_per_l": Decimal("26.5")}, {}, 2 * 4),
        ({"bath_uses_max": 5}, {}, 4 * 2),
        ({}, {"bath_ml": 1000}, 2 * 7),
    ],
    ids=["26.5 g to a litre", "three fillings", "a litre each"],
)
def test_what_makes_each_bath_harmless_is_packed_as_mix_has_it_stirred_in(
    figures: dict[str, Any], options: dict[str, int], grams: int
) -> None:
    """Whole grams to each bath of 150 ml, and to the one more: 3.975 are 4, 1.005 are 2."""
    item = packed(soaked(**figures), **options)["neutraliser"]

    assert (item.name, item.amount, item.unit) == ("glycine", grams, "g")


def test_nothing_is_packed_where_nothing_has_to_make_it_harmless() -> None:
    assert "neutraliser" not in packed(soaked(neutraliser=None, neutraliser_g_per_l=None))


@pytest.mark.parametrize(
    ("figures", "fillings", "why"),
    [
        ({}, 1, "one for each bath in use, good all day"),
        ({"bath_uses_max": 5}, 3, "uses at most: 5"),
        ({"bath_uses_max": 12}, 1, "one for each bath in use, good all day"),
        ({"bath_life": timedelta(hours=4)}, 3, "its life ends in the day"),
        ({"bath_life": timedelta(hours=4), "bath_uses_max": 2}, 6, "uses at most: 2"),
    ],
    ids=["the shipped one", "uses", "uses enough", "life", "both"],
)
def test_S5_a_bath_is_filled_anew_when_its_uses_or_its_life_are_over(
    figures: dict[str, Any], fillings: int, why: str
) -> None:
    """Twelve soaks in one bath over nine hours."""
    assert fillings_of(plan(soaked(**figures)), NINE_HOURS) == (fillings, why)


def test_S21_each_bath_in_use_is_filled_and_no_other() -> None:
    """Two probes at most in a soak: of three baths one is never used."""
    two = plan(day=replace(TWELVE, patients=2, baths=3, people=3, tubs=2))

    assert fillings_of(two, NINE_HOURS)[0] == 2


def test_S4_strips_by_policy() -> None:
    daily, three = soaked(strip_policy="bottle_daily"), soaked(strips_each_test=3)

    assert packed(daily)["strips"].amount == 1 + 1
    assert packed(three)["strips"].amount == 3 * (12 + 1)
    assert "strips" not in packed(soaked(strip_policy="single_use_no_strip"))


def test_S4_no_strips_for_a_check_that_is_not_asked_for() -> None:
    unchecked = replace(PROTOCOL, strip=replace(PROTOCOL.strip, qc_positive=0, qc_negative=0))

    assert "strips_check" not in packed(unchecked)


CHLORINE = shipped_protocol(Selection("chlorine_01", "", "plastic_probe", "enzymatic"))


def mixed(written: str, own: str = "", **options: Any) -> dict[str, Item]:
    source = source_as_written(written)
    made_of = MadeOf(source, measure_as_written(own)) if source else None
    return packed(CHLORINE, made_of=made_of, **options)


@pytest.mark.parametrize(
    ("written", "own", "options", "name", "amount", "water"),
    [
        ("bleach 5 %", "", {}, "bleach 5 %", (42, "ml"), 3),
        ("bleach 12 degrees", "", {}, "bleach 3.6 %", (69, "ml"), 3),
        ("powder 70 %", "", {}, "powder 70 %", (14, "g"), 10),
        ("powder 35 %", "", {"bath_ml": 2000}, "powder 35 %", (79, "g"), 27),
        ("bleach 5 %", "cap 5 ml", {"bath_ml": 400}, "bleach 5 %", (133, "ml"), 6),
        ("bleach 15 %", "", {"bath_ml": 60}, "bleach 15 %", (14, "ml"), 3),
    ],
    ids=["bleach", "degrees", "too little powder", "powder", "own cap", "too little bleach"],
)
def test_S4_what_is_mixed_for_each_soak_is_packed_as_it_is_bought(  # noqa: PLR0913, PLR0917  a table
    written: str,
    own: str,
    options: dict[str, int],
    name: str,
    amount: tuple[int, str],
    water: int,
) -> None:
    """Twelve soaks in chlorine 0.1 %, a bath to spare, 120 ml to wipe. Formulas: CDC, Best
    Practices for Environmental Cleaning, Appendix E; WHO, interim guidance on filovirus, p. 24.

    5 %: 13 x 3 ml and 3 for 120 ml; 2070 ml of water. 3.6 %: 13 x 4.17, so 5, and 3.33, so 4.
    70 %: 0.21 g cannot be weighed; a gram makes 700 ml, 14 times. 35 %, 2 l: 13 x 5.7, so 6, and
    1 g for 350 ml, as 0.34 cannot; 26.35 l. 5 %, 400 ml: 13 x 8 ml in caps of 5, so 10, and 3;
    5.32 l. 15 %, 60 ml: 0.4 ml cannot be measured; 13 x 1 ml for 150, and 0.8, so 1, for 120.
    """
    items = mixed(written, own, **options)

    assert (items["source"].name, items["source"].amount, items["source"].unit) == (name, *amount)
    assert (items["mixing_water"].amount, items["mixing_water"].unit) == (water, "l")
    assert "disinfectant" not in items


def test_S4_no_strip_is_packed_nor_named_where_none_exists() -> None:
    items = mixed("bleach 5 %")

    assert items.keys().isdisjoint({"strips", "strips_check"})
    assert not [item.slug for item in items.values() if "strip" in item.reason + item.name]
    assert items["source"].reason == (
        "a bath of 150 ml with 3 ml for each soak, soaks: 12, 1 more in case one is mixed again, "
        "and 120 ml to wipe handles and cables"
    )
    assert items["mixing_water"].reason == "for 2070 ml of chlorine 0.1 % in all"


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("", "no bleach or powder is on file here"),
        ("bleach 0.4 %", "what is on file here is too weak"),
        ("bleach 0.5 %", "what is on file here is too weak"),
        ("powder 0.1 %", "what is on file here is too weak"),
        ("bleach 0.05 %", "what is on file here is too weak"),
    ],
)
def test_S4_without_a_source_that_makes_it_that_is_said(written: str, why: str) -> None:
    """13 x 150 and 120 ml. What is as weak as 0.5 % was mixed before."""
    items = mixed(written)

    assert (items["disinfectant"].amount, items["mixing_water"].amount) == (2070, 3)
    assert items["disinfectant"].reason.startswith(why)
    assert "source" not in items


def test_S4_what_nobody_says_the_strength_of_is_made_of_nothing() -> None:
    source = source_as_written("bleach 5 %")
    assert source
    unsaid = soaked(strip_policy="single_use_no_strip", mixed_to_percent=None)

    assert "source" not in packed(unsaid, made_of=MadeOf(source))


def test_S4_one_soak_needs_as_much_to_wipe_with_as_can_be_mixed() -> None:
    """5 %: 2 x 3 ml, and 1 ml for the 50 ml that are mixed at a sink at least."""
    source = source_as_written("bleach 5 %")
    assert source
    one = planned(replace(TWELVE, patients=1), CHLORINE)

    items = {item.slug: item for item in packing(one, NINE_HOURS, made_of=MadeOf(source))}

    assert items["source"].amount == 2 * 3 + 1


def test_S9_a_cycle_before_the_first_patient_is_packed_for_and_nobody_is_examined_in_it() -> None:
    """One patient, one probe that is not ready: two cycles, in one bath, with one to spare."""
    one = planned(replace(TWELVE, patients=1, probes=1, unready=1), PROTOCOL)

    assert amounts({item.slug: item for item in packing(one, NINE_HOURS)}) == {
        "towels": (16, ""),
        "detergent": (8, "ml"),
        "detergent_water": (4, "l"),
        "disinfectant": (320, "ml"),
        "neutraliser": (4, "g"),
        "rinse_water": (48, "l"),
        "strips": (3, ""),
        "strips_check": (6, ""),
        "drapes": (1, ""),
        "covers": (2, ""),
        "gloves": (5, ""),
    }


def test_no_drape_is_packed_where_there_is_one_cover_for_all() -> None:
    assert "drapes" not in packed(replace(PROTOCOL, covers=PROTOCOL.covers[:1]))

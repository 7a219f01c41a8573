"""One batch of detergent: the cleaning, MIX and the packing list name the same amounts."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.calculations.measuring import measure_as_written
from flows.calculations.packing import packing
from flows.calculations.planning import planned
from flows.calculations.schedule import Day
from tests.kit.cycles import play_cycle
from tests.kit.mixing import site

CAP = ("detergent_measure", "cap 5 ml")


@pytest.mark.parametrize(
    ("ways", "ratio", "dose", "mix"),
    [
        ((), "7.8", "4 mL", "4 mL detergent into 500 mL water"),
        ((CAP,), "7.8", "1 x cap (5 mL)", "1 x cap (5 mL) detergent into 500 mL water"),
        (
            (("detergent_measure", "mug 200 ml"),),
            "7.8",
            "4 mL",
            "4 mL detergent into 500 mL water",
        ),
        ((), "60", "30 mL", "30 mL detergent into 500 mL water"),
        ((), "1", "1 mL", "So little cannot be measured"),
    ],
    ids=["whole ml", "cap", "too coarse", "stronger", "hardly to be measured"],
)
def test_the_cleaning_tells_the_dose_that_mix_and_the_packing_list_tell(
    ways: tuple[tuple[str, str], ...], ratio: str, dose: str, mix: str
) -> None:
    """7.8 ml to a litre of water: an instrument maker's care manual, p. 8; 3.9 ml to half a
    litre, up to what can be measured."""
    talk = site(*ways)
    detergent = replace(talk.protocol.detergent, ml_per_litre=Decimal(ratio))
    talk.protocol = replace(talk.protocol, detergent=detergent)
    (mixed, *_) = talk.sends("MIX 500 ML", phone="ph2")

    own = measure_as_written(dict(ways).get("detergent_measure", ""))
    day = planned(Day(patients=1, probes=1, baths=1, people=1, exam=timedelta(0)), talk.protocol)

    play_cycle(talk, until="mix")

    to_pack = {each.slug: each.amount for each in packing(day, timedelta(hours=9), cap=own)}
    assert f"{to_pack['detergent']} mL" in dose
    assert talk.last() == (
        f"V1: mix fresh detergent, {dose} to 500 mL water, and label it. One batch for one "
        "probe. Reply MIXED."
    )
    assert mixed.startswith(mix)


def test_a_site_that_mixes_more_at_once_is_told_and_packs_for_it() -> None:
    """2 l x 7.8 ml are 15.6, four caps of 5."""
    talk = site(CAP)
    detergent = replace(talk.protocol.detergent, soak_volume_ml=2000)
    talk.protocol = replace(talk.protocol, detergent=detergent)
    day = planned(Day(patients=3, probes=1, baths=1, people=1, exam=timedelta(0)), talk.protocol)

    play_cycle(talk, until="mix")

    to_pack = packing(day, timedelta(hours=9), cap=measure_as_written("cap 5 ml"))
    (concentrate,) = (each for each in to_pack if each.slug == "detergent")
    assert "mix fresh detergent, 4 x cap (20 mL) to 2 L water" in talk.last()
    assert concentrate.amount == 3 * 20
    assert "2000 ml of water a batch, so 20 ml each" in concentrate.reason

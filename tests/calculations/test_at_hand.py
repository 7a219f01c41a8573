"""What a site has for a day: no probe in quarantine, no bath that may not be used."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from flows.calculations.at_hand import EXAM, OneProduct, by_product, day_at
from flows.calculations.schedule import Day
from flows.parts.events import ContainerCondemned, DeviceEnrolled, Event, Quarantined
from flows.rules.strip import baths_for_use
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, Talk, clinic
from tests.kit.two_products import two_products


def probes_of(talk: Talk) -> OneProduct:
    """Where all of them soak in the same."""
    (group,) = by_product(talk.clinic, talk.around().today)
    return group


def day(talk: Talk) -> Day:
    return day_at(probes_of(talk), baths_at(talk, talk.now), 7)


def baths_at(talk: Talk, now: datetime) -> int:
    return len(baths_for_use(talk.clinic, talk.protocol.chemistry, now))


def test_a_day_has_the_sites_probes_and_baths_and_one_person() -> None:
    talk = clinic(devices=("V1", "V2"))

    assert day(talk) == Day(patients=7, probes=2, baths=1, people=1, exam=EXAM)


@pytest.mark.parametrize(
    ("event", "probes", "baths"),
    [
        (Quarantined("V1", "damaged"), 1, 1),
        (ContainerCondemned("T1", "strip_failed"), 2, 0),
    ],
    ids=["S13 quarantine", "S4 condemned"],
)
def test_what_may_not_be_used_is_not_counted(event: Event, probes: int, baths: int) -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(event)

    assert probes == len(probes_of(talk).usable)
    assert baths == baths_at(talk, NINE)


def test_S5_a_bath_past_its_date_is_not_counted_and_one_is_planned_with_all_the_same() -> None:
    talk = clinic()
    last = talk.clinic.containers["T1"].discard_by
    counts = [baths_at(talk, at) for at in (last - timedelta(seconds=1), last)]
    talk.now = last

    assert counts == [1, 0]
    assert day(talk).baths == 1


def test_where_all_probes_are_in_quarantine_one_is_planned_with() -> None:
    talk = clinic()
    talk.let(Quarantined("V1", "damaged"))

    assert day(talk).probes == 1


@pytest.mark.parametrize(("most", "baths"), [(1, 0), (2, 1), (None, 1)])
def test_S5_a_bath_without_a_soak_left_is_not_counted(most: int | None, baths: int) -> None:
    """One probe has soaked in it."""
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=most)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    play_cycle(talk)

    assert baths_at(talk, talk.now) == baths


def test_S4_probes_are_grouped_by_the_disinfectant_they_soak_in() -> None:
    """Only those share a bath; the larger bath of a group is what has to be filled."""
    talk = two_products()
    opa = talk.protocol
    large = replace(opa.device_model, bath_volume_ml=opa.device_model.bath_volume_ml + 1)
    talk.protocols["large_probe"] = replace(opa, device_model=large)
    talk.let(DeviceEnrolled("V3", "large_probe"))

    groups = by_product(talk.clinic, talk.around().today)

    assert [[each.label for each in group.devices] for group in groups] == [["V1", "V3"], ["V2"]]
    assert [group.protocol.device_model for group in groups] == [
        large,
        talk.protocols["sealed_probe"].device_model,
    ]

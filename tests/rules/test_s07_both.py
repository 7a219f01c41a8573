"""S7, S16: BOTH, where a site has two probes, is of each; both stood READY and were used."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import DeviceUsed, Quarantined, ReleaseWithdrawn, UseWithoutCode
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def ready(*labels: str) -> Talk:
    talk = clinic(devices=labels or ("V1", "V2"))
    for label in labels or ("V1", "V2"):
        play_cycle(talk, label)
    return talk


@pytest.mark.parametrize(
    "body", ["both used", "both probes were used", "we used both probes today", "USED both"]
)
def test_S7_both_used_is_a_use_of_each(body: str) -> None:
    talk = ready()

    talk.sends(body, after=20)

    assert [each.device for each in talk.happened(UseWithoutCode)] == ["V1", "V2"]
    assert {each.standing for each in talk.clinic.devices.values()} == {Standing.NOT_READY}


def test_S16_on_one_patient_both_have_the_code() -> None:
    talk = ready()

    talk.sends("used both on patient 0412", after=20)

    used = [(each.device, each.patient) for each in talk.happened(DeviceUsed)]
    assert used == [("V1", "0412"), ("V2", "0412")]


@pytest.mark.parametrize("body", ["both damaged", "both probes are damaged", "FAULT both"])
def test_S13_both_damaged_are_both_out_of_use(body: str) -> None:
    talk = ready()

    talk.sends(body, after=20)

    assert [each.device for each in talk.happened(Quarantined)] == ["V1", "V2"]


def test_S9_both_stained_are_ready_no_more() -> None:
    talk = ready()

    talk.sends("both stained", after=20)

    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1", "V2"]


@pytest.mark.parametrize("body", ["both not used", "both used up", "both?", "both gloves damaged"])
def test_S7_what_is_not_plainly_so_is_not(body: str) -> None:
    talk = ready()

    talk.sends(body, after=20)

    assert talk.happened(UseWithoutCode) == talk.happened(Quarantined) == []


def test_S10_where_there_are_three_nobody_knows_which_two() -> None:
    talk = ready("V1", "V2", "V3")

    talk.sends("both used", after=20)

    assert talk.happened(UseWithoutCode) == []

"""S5: two tags that no lot tells apart may be one jug: its earlier day of activation counts.

Glutaraldehyde 3.0 %: 28 days once activated. Source: FDA 510(k) K974062, 1998.
"""

from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import ContainerDiscarded, JugActivated, LifeShortened
from tests.conversation.test_activated import MIDNIGHT, bare
from tests.kit.talk import Talk


def two_of_one_lot(first: str) -> Talk:
    """J1 and J2 of lot L77; J1 has been activated as *first* says."""
    talk = bare()
    for phone in ("ph1", "ph2"):
        for said in ("OPEN", "270331", "L77"):
            talk.sends(said, phone=phone, after=20)
    talk.sends("POUR J1", after=20)
    talk.sends(first, after=20)
    talk.sends("POUR J2", phone="ph2", after=20)
    return talk


def two_jugs(lots: tuple[str, str], expires: tuple[str, str] = ("270331", "270331")) -> Talk:
    """J1 and J2, opened on two phones; nobody has said yet when they were activated."""
    talk = bare()
    for phone, lot, day in zip(("ph1", "ph2"), lots, expires, strict=True):
        for said in ("OPEN", day, lot):
            talk.sends(said, phone=phone, after=20)
    return talk


ONE_HAS_NO_LOT = pytest.mark.parametrize(
    "lots", [("L77", "L77"), ("L77", "none"), ("none", "L77")]
)


def test_S5_what_may_be_a_jug_that_is_over_is_not_activated_anew() -> None:
    talk = two_of_one_lot("260201")

    (refused,) = talk.sends("ACTIVE", phone="ph2", after=20)

    assert refused == (
        "J1 is out of use, and no lot tells J2 from it. Another jug? Throw J1 away, text DISCARD "
        "J1, then answer again. Else UNSURE."
    )
    assert talk.clinic.containers["J2"].activated_at is None


def test_S5_an_earlier_day_that_another_tells_of_it_is_taken_all_the_same() -> None:
    """Once it has a day of its own, no twin's date stands in the way of bad news."""
    talk = two_of_one_lot("ACTIVE")
    talk.sends("POUR J2", phone="ph9", after=20)
    talk.sends("ACTIVE", phone="ph9", after=20)

    talk.sends("260210", phone="ph2", after=20)

    assert talk.happened(JugActivated)[-1].tag == "J2"
    one, other = talk.clinic.containers["J1"], talk.clinic.containers["J2"]
    assert one.discard_by == other.discard_by == MIDNIGHT + timedelta(days=8)


def test_S5_once_that_one_is_thrown_away_it_is() -> None:
    talk = two_of_one_lot("260201")
    talk.sends("ACTIVE", phone="ph2", after=20)

    talk.sends("DISCARD J1", phone="ph2", after=20)
    heard = talk.sends("ACTIVE", phone="ph2", after=20)

    assert heard[0].startswith("Write on it: J2-")


def test_S5_nor_does_it_end_later_than_one_that_it_may_be() -> None:
    talk = two_of_one_lot("260220")

    heard = talk.sends("ACTIVE", phone="ph2", after=20)

    one, other = talk.clinic.containers["J1"], talk.clinic.containers["J2"]
    assert other.discard_by == one.discard_by
    assert heard[0].startswith("J2 may be J1, no lot tells them apart: it has the date of J1.")
    assert heard[1].startswith("Write on it: J2-")


@ONE_HAS_NO_LOT
def test_S5_of_what_may_be_one_jug_the_earlier_day_counts_whichever_is_told_first(
    lots: tuple[str, str],
) -> None:
    """28 days once activated: FDA 510(k) K974062, 1998. Of 20 February the 28th is 19 March."""
    talk = two_jugs(lots)
    for said in ("POUR J2", "ACTIVE", "FILLED"):
        talk.sends(said, phone="ph2", after=300)

    talk.sends("POUR J1", after=20)
    heard = talk.sends("260220", after=20)

    ends = {tag: each.discard_by for tag, each in talk.clinic.containers.items()}
    assert ends == dict.fromkeys(("J1", "J2", "B1"), MIDNIGHT + timedelta(days=18))
    assert heard[0].startswith("Write on it: J1-")
    assert heard[1] == (
        "J2 may be J1, no lot tells them apart: the day on which J1 was activated is the earlier, "
        "so it counts for all of them."
    )
    assert heard[2] == (
        "J2: its date was wrong and is earlier. Write on its label: good to the end of 19 Mar "
        "2026 (its life once activated). Strike the old date out."
    )
    assert talk.heard["ph2"][-3:-1] == heard[1:3]


def test_S5_what_may_be_that_jug_and_is_over_by_it_is_not_for_use() -> None:
    talk = two_jugs(("L77", "L77"))
    for said in ("POUR J2", "ACTIVE"):
        talk.sends(said, phone="ph2", after=300)

    talk.sends("POUR J1", after=20)
    talk.sends("260101", after=20)

    assert any(each.startswith("DO NOT USE J2: as has turned out") for each in talk.heard["ph2"])


def test_S5_another_lot_or_one_that_is_not_active_yet_keeps_its_date() -> None:
    talk = two_jugs(("L77", "L78"))
    talk.sends("OPEN", phone="ph2", after=20)
    for said in ("270331", "L77"):
        talk.sends(said, phone="ph2", after=20)
    for said in ("POUR J2", "ACTIVE"):
        talk.sends(said, phone="ph2", after=300)

    talk.sends("POUR J1", after=20)
    talk.sends("260220", after=20)

    assert talk.happened(LifeShortened) == []


def test_S5_an_expiry_that_comes_first_says_nothing_of_the_other() -> None:
    """Where no lot is noted two expiries tell rather that they are two. Common practice."""
    talk = two_jugs(("none", "L77"), ("260310", "270331"))
    for said in ("POUR J2", "ACTIVE"):
        talk.sends(said, phone="ph2", after=300)

    talk.sends("POUR J1", after=20)
    talk.sends("260228", after=20)

    assert talk.happened(LifeShortened) == []


@pytest.mark.parametrize("tag", ["J1", "J9"])
def test_S5_what_is_thrown_away_or_not_here_is_none_that_may_be_another(tag: str) -> None:
    """As a desk may tell it, of a jug that is gone."""
    talk = two_jugs(("L77", "L77"))
    for said in ("POUR J2", "ACTIVE"):
        talk.sends(said, phone="ph2", after=300)
    talk.sends("POUR J1", after=20)
    talk.sends("ACTIVE", after=20)
    talk.sends("FILLED", after=300)
    talk.let(ContainerDiscarded("J1"))
    before = talk.clinic.containers["J2"]

    talk.let(JugActivated(tag, talk.now, talk.now + timedelta(days=1), "activated_life"))

    assert talk.clinic.containers["J1"].fitness is Fitness.DISCARDED
    assert talk.clinic.containers["J2"] == before

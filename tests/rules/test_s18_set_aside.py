"""S18: what is recalled is marked, set aside and not poured away, until it is said to be gone."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import (
    AlertRaised,
    ContainerCondemned,
    ContainerDiscarded,
    JugOpened,
    StripBottleOpened,
)
from tests.kit.talk import NINE, Talk, clinic
from tests.rules.test_s18_recall import WEEK, recall, recall_strips

TAGS = pytest.mark.parametrize("tag", ["J1", "B1", "T1", "S1"])


def recalled() -> Talk:
    """A clinic whose jug, all that came from it, and strips are of recalled lots."""
    talk = clinic()
    recall(talk)
    recall_strips(talk)
    return talk


def kept(tag: str) -> str:
    return (
        f"{tag} is RECALLED, DO NOT USE: write that on it, shut it, set it aside, do not pour it "
        f"away. Your contact says where it goes; once it is gone DISCARD {tag}."
    )


@TAGS
def test_S18_state_says_to_keep_what_is_recalled(tag: str) -> None:
    talk = recalled()

    assert talk.sends(f"STATE {tag}")[-1] == kept(tag)
    assert f"{tag} RECALLED, set aside" in talk.sends("STATE")[1]


@TAGS
def test_S18_no_test_of_what_is_recalled_asks_for_its_discard(tag: str) -> None:
    (said,) = recalled().sends(f"TEST {tag}")

    assert said == (
        f"{tag} is recalled: no test brings it back. Write RECALLED, DO NOT USE on it, set it "
        "aside, take another."
    )


def test_S18_open_said_of_a_recalled_jug_says_to_keep_it() -> None:
    assert recalled().sends("OPEN J1") == [kept("J1")]


@pytest.mark.parametrize(("tag", "because"), [("T1", "lot_recalled"), ("S1", "strips_recalled")])
def test_S18_a_worker_who_says_that_it_is_gone_is_believed_and_the_contact_told(
    tag: str, because: str
) -> None:
    """S7: a fact is not refused; and nothing is said of the drain."""
    talk = recalled()

    (said,) = talk.sends(f"DISCARD {tag}")

    assert said == (
        f"{tag} is noted as gone. It is recalled: if it still stands here do not pour it away; "
        "write RECALLED, DO NOT USE on it, set it aside. Your contact is told."
    )
    assert talk.happened(ContainerDiscarded) == [ContainerDiscarded(tag, because)]
    assert talk.happened(AlertRaised)[-1].cause == "recalled_gone"
    assert talk.last("ph9") == (
        f"{tag} is recalled and was to be kept, and a worker tells that it is gone. Please ask "
        "where it is."
    )


@TAGS
def test_S18_the_supervisor_says_that_it_is_gone_and_the_record_says_of_what_recall(
    tag: str,
) -> None:
    talk = recalled()
    before = len(talk.happened(AlertRaised))

    (said,) = talk.sends(f"DISCARD {tag}", phone="ph9")

    (gone,) = talk.happened(ContainerDiscarded)
    assert said == (
        f"{tag}, recalled, is noted as gone, on your word: sent back, or disposed of as its maker "
        "has said."
    )
    assert gone == ContainerDiscarded(tag, "strips_recalled" if tag == "S1" else "lot_recalled")
    assert talk.entries[-1].person == "p9"
    assert len(talk.happened(AlertRaised)) == before
    assert not any("RECALLED" in text for text in talk.sends(f"STATE {tag}"))


@pytest.mark.parametrize("tag", ["J1", "S1"])
@pytest.mark.parametrize("phone", ["ph1", "ph9"])
def test_S18_what_is_noted_as_gone_and_named_again_is_not_sent_to_the_drain(
    tag: str, phone: str
) -> None:
    """What is said to be gone again may be what still stands there; it was told of before."""
    talk = recalled()
    talk.sends(f"DISCARD {tag}", phone="ph9")
    talk.wait(minutes=20)

    (said,) = talk.sends(f"DISCARD {tag}", phone=phone)

    assert said == (
        f"{tag} is noted as gone already. It is recalled: if it still stands here do not pour it "
        "away; write RECALLED, DO NOT USE on it, set it aside."
    )
    assert len(talk.happened(ContainerDiscarded)) == 1


def test_S18_what_was_gone_before_its_lot_was_recalled_is_not_sent_to_the_drain() -> None:
    talk = clinic()
    talk.sends("DISCARD J1")
    recall(talk)
    talk.wait(minutes=20)

    (said,) = talk.sends("DISCARD J1")

    assert said.startswith("J1 is noted as gone already. It is recalled: if it still stands here")


def test_what_is_gone_and_named_again_is_noted_once_and_still_made_harmless() -> None:
    talk = clinic()
    talk.sends("DISCARD J1")
    talk.wait(minutes=20)

    (said,) = talk.sends("DISCARD J1")

    assert said.startswith("J1 is noted as thrown away. Before it goes down the drain glycine")
    assert len(talk.happened(ContainerDiscarded)) == 1


def test_S18_of_several_that_are_gone_only_what_is_recalled_is_asked_about() -> None:
    talk = clinic()
    talk.let(JugOpened("J2", "opa_055", "L2", WEEK.date(), NINE, WEEK, "jug_open_life"))
    recall(talk)

    noted, asked = talk.sends("DISCARD J2 T1")

    assert noted.startswith("J2 is noted as thrown away. Before it goes down the drain glycine")
    assert asked.startswith("T1 is noted as gone. It is recalled: if it still stands here")


def test_S18_what_a_register_says_is_gone_is_asked_about_too() -> None:
    talk = recalled()

    talk.let(ContainerDiscarded("J1", "lot_recalled"))

    assert talk.last("ph9").startswith("J1 is recalled and was to be kept")


def test_S18_what_is_entered_of_a_recalled_lot_later_is_kept_as_well() -> None:
    talk = recalled()

    talk.let(
        JugOpened("J2", "opa_055", "l1", WEEK.date(), NINE, WEEK, "jug_open_life"),
        StripBottleOpened("S2", "opa_strip_1s_90s", "", WEEK.date(), NINE, WEEK, checked=True),
    )

    assert talk.sends("STATE J2")[-1] == kept("J2")
    assert talk.sends("STATE S2")[-1] == kept("S2")


def test_S15_what_a_correction_brings_under_the_lot_is_kept_with_what_came_from_it() -> None:
    talk = clinic()

    recall(talk, mark="L8", also=("J1",))

    assert talk.sends("STATE T1")[-1] == kept("T1")


def test_S18_what_a_wrong_figure_has_dated_is_thrown_away_and_says_why() -> None:
    talk = clinic()
    recall(talk, "figure", "opa_055", "reuse_life_days", "14 days")

    assert talk.sends("STATE T1")[-1] == (
        "T1: NOT FOR USE: a figure was wrong. Throw it away by the maker's sheet, then text "
        "DISCARD T1."
    )
    assert "glycine" in talk.sends("DISCARD T1")[0]
    assert talk.happened(ContainerDiscarded) == [ContainerDiscarded("T1")]


def test_S18_the_supervisor_hears_what_to_keep_and_how_it_leaves() -> None:
    talk = recalled()

    first, _ = (text for text in talk.heard["ph9"] if "is recalled: keep it" in text)

    assert first == (
        "Lot L1 is recalled: keep it, do not pour it away; once it is gone DISCARD its tag. "
        "By the record nothing open or READY is of it; a look-back is open."
    )


@pytest.mark.parametrize("letter", ["J", "B"])
def test_open_said_of_what_is_not_for_use_says_so(letter: str) -> None:
    talk = clinic()
    talk.let(ContainerCondemned(f"{letter}1", "strip_failed"))

    (said,) = talk.sends(f"OPEN {letter}1")

    assert said.startswith(f"{letter}1: NOT FOR USE: a strip failed.")
    assert talk.clinic.containers[f"{letter}1"].fitness is Fitness.CONDEMNED

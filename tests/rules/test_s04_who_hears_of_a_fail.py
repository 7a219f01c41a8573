"""S4, S9: of a failed strip everybody hears what concerns them, whoever has read it too."""

from flows.parts.clinic import Kind
from flows.parts.events import ReleaseWithdrawn
from tests.kit.cycles import play_cycle
from tests.kit.strips import fails, pour
from tests.kit.talk import clinic

GONE = (
    "NO LONGER READY: V1. The strip of T1 failed. Do not use on a patient; clean again with "
    "another: CLEAN V1."
)


def test_S9_whoever_reads_the_strip_hears_which_probe_is_no_longer_ready() -> None:
    """With one phone at a site nobody else would."""
    talk = clinic()
    play_cycle(talk)

    heard = fails(talk, "T1")

    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"]
    assert GONE in heard
    assert [talk.heard[phone].count(GONE) for phone in ("ph2", "ph9")] == [1, 1]


def test_S11_that_a_release_is_gone_must_arrive() -> None:
    """It goes with a bell: unheard, it is told elsewhere."""
    talk = clinic()
    play_cycle(talk)
    talk.said.clear()

    fails(talk, "T1")

    gone = [each for each in talk.said if each.text.slug == "strip.not_ready"]
    assert len(gone) == 3
    assert all(each.bell for each in gone)


def test_S4_what_is_held_with_it_is_named_and_how_it_is_freed() -> None:
    talk = clinic()
    pour(talk, "T2", Kind.BATH, "B1")

    heard = fails(talk, "T1")

    held = (
        "ON HOLD, as the strip of T1 failed: J1, B1, T2. Not for use until a strip of its own "
        "passes, like TEST J1."
    )
    assert held in heard
    assert held in talk.heard["ph2"]
    assert not [each for each in heard if each.startswith("NO LONGER READY")]

"""S7, S10: a name by itself completes what lacked it; it was told when its first part was."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import (
    ContainerDiscarded,
    DeviceUsed,
    FaultReported,
    HolderSignedIn,
    PhoneEnrolled,
    Quarantined,
    ReleaseWithdrawn,
    SaidInPart,
    SoakBroken,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def ready() -> Talk:
    talk = clinic()
    play_cycle(talk)
    return talk


def two_in_hand(until: str = "soaking") -> Talk:
    talk = clinic(level=Level.BRIEF, devices=("V1", "V2"))
    play_cycle(talk, "V1", until=until)
    talk.sends("CLEAN V2", after=20)
    return talk


@pytest.mark.parametrize(
    ("first", "name"),
    [
        ("USED", "V1 0412"),
        ("USED", "v1, 0412"),
        ("USED 0412", "V1"),
        ("used it 0412", "it is V1"),
        ("used 0412", "probe 1"),
    ],
)
def test_S7_the_name_behind_used_notes_the_use(first: str, name: str) -> None:
    talk = ready()
    talk.sends(first, after=20)

    talk.sends(name, after=20)

    (use,) = talk.happened(DeviceUsed)
    assert (use.device, use.patient) == ("V1", "0412")


@pytest.mark.parametrize("name", ["V1", "v1 please", "it's V1", "V-1", "probe V1"])
def test_S8_the_name_behind_fault_puts_it_out_of_use(name: str) -> None:
    talk = ready()
    talk.sends("FAULT", after=20)

    talk.sends(name, after=20)

    assert [each.device for each in talk.happened(FaultReported)] == ["V1"]
    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]


def test_S9_the_name_behind_moved_ends_its_release() -> None:
    talk = ready()
    (asked,) = talk.sends("MOVED", after=20)

    talk.sends("V1", after=20)

    assert asked.startswith("Which probe is that?")
    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"]


def test_S5_the_tag_behind_discard_is_noted() -> None:
    talk = ready()
    talk.sends("DISCARD", after=20)

    talk.sends("T1 please", after=20)

    assert [each.tag for each in talk.happened(ContainerDiscarded)] == ["T1"]


@pytest.mark.parametrize(
    ("first", "more", "said"),
    [
        ("TEST", "B1", "Dry hands. Dip a strip in B1"),
        ("CHECK", "V1", "V1 READY UNTIL"),
        ("MIX", "2 L", "16 mL detergent into 2 L"),
        ("PLAN", "12 probes 2", "Patients 12"),
        ("TAKE", "V1", "Nobody is cleaning V1 now"),
    ],
)
def test_what_a_command_lacked_completes_it(first: str, more: str, said: str) -> None:
    talk = ready()
    talk.sends(first, after=20)

    heard = talk.sends(more, after=20)

    assert heard[0].startswith(said)


def test_S3_out_of_one_of_two_counts_from_when_it_was_told() -> None:
    """The soak is over with OUT, however long its name takes: 7 min are no 12."""
    talk = two_in_hand()
    (which,) = talk.sends("OUT", after=400)

    talk.sends("V1", after=330)

    assert which.startswith("Two devices are in hand.")
    (broken,) = talk.happened(SoakBroken)
    assert broken.device == "V1"


def test_S3_a_name_by_itself_long_after_says_nothing() -> None:
    talk = two_in_hand(until="rinse")
    talk.sends("fault", after=20)

    talk.sends("V1", after=11 * 60)

    assert talk.happened(FaultReported) == []


@pytest.mark.parametrize("first", ["fault late cable", "FAULT?"])
def test_S7_with_a_word_that_is_not_ours_less_is_not_heard_than_was_said(first: str) -> None:
    talk = ready()
    talk.sends(first, after=20)

    talk.sends("V1", after=20)

    assert talk.happened(FaultReported) == []
    assert all(each.words == () for each in talk.happened(SaidInPart))


@pytest.mark.parametrize("body", ["V1 is clean", "V1?", "V9", "V1 0412 dirty", "now"])
def test_S10_more_than_a_name_completes_nothing(body: str) -> None:
    talk = ready()
    talk.sends("FAULT", after=20)

    talk.sends(body, after=20)

    assert talk.happened(FaultReported) == []


def test_S10_the_name_is_of_what_was_asked_last() -> None:
    """It would break no soak, and start a talk about no bottle."""
    talk = ready()
    talk.sends("DISCARD", after=20)
    talk.sends("POUR", after=20)

    talk.sends("T1", after=20)

    assert talk.happened(ContainerDiscarded) == []


def test_S10_a_doubled_name_is_heard_once() -> None:
    talk = ready()
    talk.sends("MOVED", after=20)
    talk.sends("V1", after=20)
    told = len(talk.entries)

    talk.sends("V1", after=2)

    assert not [each for each in talk.entries[told:] if isinstance(each.event, ReleaseWithdrawn)]
    assert talk.last().startswith("I did not understand that.")


def test_S14_what_one_person_began_no_other_completes() -> None:
    talk = ready()
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p1"))
    talk.sends("FAULT", phone="ph5", after=20)
    talk.let(HolderSignedIn("ph5", "p2"))

    talk.sends("V1", phone="ph5", after=20)

    assert talk.happened(FaultReported) == []


def test_S14_a_number_that_may_be_a_pin_is_not_written_down() -> None:
    talk = ready()
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p1"))

    talk.sends("FAULT PIN 4711", phone="ph5", after=20)
    talk.sends("FAULT 2 4711", phone="ph5", after=20)

    assert [each.words for each in talk.happened(SaidInPart)] == [(), ()]


def test_S10_a_number_that_is_asked_for_is_an_answer() -> None:
    """The codes of CLEAN are numbers as those of PLAN are: what asks has it."""
    talk = ready()
    talk.sends("CLEAN V1", after=20)
    talk.sends("PLAN", after=20)

    heard = talk.sends("0412", after=20)

    assert not heard[0].startswith("Patients")
    assert [each.patient for each in talk.happened(DeviceUsed)] == ["0412"]


def test_S21_the_name_of_what_was_put_in_a_bath_in_use_is_enough() -> None:
    talk = clinic(level=Level.BRIEF, devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    (which,) = talk.sends("IN T1", phone="ph2", after=20)

    heard = talk.sends("V2", phone="ph2", after=20)

    assert which.startswith("T1 is in use for V1: one probe a bath.")
    assert heard[0].startswith("Noted: V2 was put in T1, and that is no soak.")


def test_what_is_completed_is_as_old_as_its_first_part() -> None:
    talk = two_in_hand()
    talk.sends("OUT", after=400)
    (part,) = talk.happened(SaidInPart)

    talk.wait(minutes=5)

    assert part.words == ("OUT",)
    assert timedelta(minutes=5) <= talk.now - part.sent_at
    assert talk.clinic.devices["V1"].standing is Standing.IN_CYCLE
    assert step_of(talk, "V1") == "soaking"

"""S18: a recalled lot, lot of strips or figure: all that rests on it falls, at once, and once."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Clinic, Fitness, Kind, Standing
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    ContainerCondemned,
    ContainerDiscarded,
    CycleVoided,
    JugOpened,
    Mixed,
    Poured,
    Recalled,
    ReleaseWithdrawn,
    StripBottleOpened,
    StripsChecked,
)
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle, step_of, thread_of
from tests.kit.strips import dips, first_digit, pour
from tests.kit.talk import NINE, Talk, clinic

WEEK = NINE + timedelta(days=7)


def recall(  # noqa: PLR0913  a recall has as many parts
    talk: Talk,
    what: str = "lot",
    product: str = "opa_055",
    mark: str = "L1",
    value: str = "",
    *,
    also: tuple[str, ...] = (),
    known: bool = True,
) -> None:
    """The programme officer recalls it at this clinic."""
    talk.let(
        Recalled(
            f"r{talk.count}", what, product, mark, value, "digest", NINE if known else None, also
        )
    )


def recall_strips(talk: Talk) -> None:
    recall(talk, "strip_lot", "opa_strip_1s_90s", "L9")


def fitness(talk: Talk) -> dict[str, Fitness]:
    things = (*talk.clinic.containers.values(), *talk.clinic.strips.values())
    return {each.tag: each.fitness for each in things}


# -- containers ---------------------------------------------------------------------------------


def test_S18_every_container_of_a_recalled_lot_is_condemned_and_no_other() -> None:
    talk = clinic()
    talk.let(
        JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"),
        Poured("T2", Kind.BATH, "J2", "opa_055", "L2", NINE, WEEK, "", topped_up=False),
    )

    recall(talk)

    assert fitness(talk) == {
        "J1": Fitness.CONDEMNED,
        "B1": Fitness.CONDEMNED,
        "T1": Fitness.CONDEMNED,
        "J2": Fitness.GOOD,
        "T2": Fitness.GOOD,
        "S1": Fitness.GOOD,
    }
    assert {event.because for event in talk.happened(ContainerCondemned)} == {"lot_recalled"}


@pytest.mark.parametrize("written", ["l-1", " L 1", "L1", "LI", "1", "lot L1", "LOTL1"])
def test_S18_a_lot_is_the_same_however_it_is_written(written: str) -> None:
    talk = clinic()

    recall(talk, mark=written)

    assert fitness(talk)["J1"] is Fitness.CONDEMNED


def test_S18_a_jug_whose_lot_nobody_noted_cannot_be_told_from_a_recalled_one() -> None:
    talk = clinic(stocked=False)
    talk.let(JugOpened("J1", "opa_055", "", date(2027, 3, 31), NINE, WEEK, "jug_open_life"))

    recall(talk)

    assert fitness(talk)["J1"] is Fitness.CONDEMNED


def test_S18_the_same_lot_of_another_product_is_let_be() -> None:
    talk = clinic()

    recall(talk, product="glutaraldehyde_24")

    assert set(fitness(talk).values()) == {Fitness.GOOD}


def test_S18_what_is_opened_of_a_recalled_lot_afterwards_is_not_for_use_from_the_first() -> None:
    talk = clinic()
    recall(talk)
    recall_strips(talk)

    talk.let(
        JugOpened("J3", "opa_055", "l1", date(2027, 3, 31), NINE, WEEK, "jug_open_life"),
        StripBottleOpened("S3", "opa_strip_1s_90s", "L9", WEEK.date(), NINE, WEEK, checked=True),
    )

    assert fitness(talk)["J3"] is Fitness.CONDEMNED
    assert fitness(talk)["S3"] is Fitness.CONDEMNED


def test_S18_a_jug_of_a_recalled_lot_is_not_taken_into_use_and_another_is_asked_for() -> None:
    talk = clinic(stocked=False)
    recall(talk, mark="L-77")
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends("l77", after=20)

    assert heard[0] == (
        "Lot L-77 is recalled: do not take it into use. Write RECALLED, DO NOT USE on it, set "
        "it aside for your contact, take another."
    )
    assert "its expiry date?" in heard[1]
    assert talk.clinic.containers == {}


def test_S18_nor_is_a_jug_without_a_lot_while_one_of_its_product_is_recalled() -> None:
    talk = clinic(stocked=False)
    recall(talk)
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends("NONE", after=20)

    assert heard[0].startswith("Lot L1 is recalled, and one without a lot cannot be told from it")
    assert talk.clinic.containers == {}


def test_S18_nor_are_strips_of_a_recalled_lot() -> None:
    talk = clinic()
    recall_strips(talk)
    play_cycle(talk, until="strips_lot")

    heard = talk.sends("L9", after=20)

    assert heard[0].startswith("Lot L9 is recalled: do not take it into use.")
    assert "New strip bottle" in heard[1]
    assert [*talk.clinic.strips] == ["S1"]


def test_S18_nor_are_strips_whose_lot_is_recalled_while_they_are_being_tested() -> None:
    talk = clinic()
    recall_strips(talk)
    play_cycle(talk, until="strips_check")
    recall(talk, "strip_lot", "opa_strip_1s_90s", "L78")

    heard = talk.sends("GOOD", after=100)

    assert heard[0].startswith("S2 is recalled: no test brings it back.")
    assert heard[1].startswith("No strips in date. New strip bottle")
    assert not talk.happened(StripsChecked)


def test_S15_what_a_correction_brings_under_the_lot_falls_with_what_came_from_it() -> None:
    talk = clinic()

    recall(talk, mark="L8", also=("J1",))

    assert {tag for tag, each in fitness(talk).items() if each is Fitness.CONDEMNED} == {
        "J1", "B1", "T1",
    }  # fmt: skip


# -- cycles -------------------------------------------------------------------------------------


@pytest.mark.parametrize("step", ["container", "immerse", "soaking", "final_rinse", "cover"])
def test_S18_a_running_cycle_in_the_lot_is_void_at_any_step_and_its_worker_told(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    recall(talk)

    (heard,) = [text for text in talk.heard["ph1"] if "this cleaning does not count" in text]
    assert heard == (
        "V1: its disinfectant is recalled, so this cleaning does not count. Take it out, do not "
        "use it. Begin again with another lot: CLEAN V1."
    )
    assert thread_of(talk, "V1") is None
    assert talk.clinic.cycles == {}
    assert talk.clinic.devices["V1"].why == "voided"
    assert not [bell for bell in talk.clinic.bells.values() if bell.cycle]


def test_S18_a_cycle_that_has_not_come_to_the_lot_goes_on() -> None:
    talk = clinic()
    play_cycle(talk, until="wipe_water")

    recall(talk)

    assert talk.happened(CycleVoided) == []
    assert step_of(talk) == "wipe_water"


def test_S18_a_cycle_whose_handle_was_wiped_with_it_is_void_before_it_comes_to_a_bath() -> None:
    talk = clinic()
    play_cycle(talk, until="under")

    recall(talk)

    assert len(talk.happened(CycleVoided)) == 1
    assert [each for each in talk.heard["ph1"] if each.startswith("V1: its disinfectant is rec")]
    assert thread_of(talk, "V1") is None


def test_S18_whoever_is_testing_a_bath_of_the_lot_is_led_to_another() -> None:
    talk = clinic()
    talk.let(
        JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"),
        Poured("B2", Kind.BOTTLE, "J2", "opa_055", "L2", NINE, WEEK, "", topped_up=False),
        ContainerDiscarded("B1"),
    )
    play_cycle(talk, until="read")

    recall(talk)

    assert talk.happened(CycleVoided) == []
    assert step_of(talk) == "fill"


def test_S18_a_strip_test_by_itself_ends_with_the_recall() -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")

    recall(talk)

    assert talk.clinic.threads == {}


def test_S18_a_cycle_cleaned_from_the_start_since_does_not_rest_on_the_lot() -> None:
    talk = clinic()
    talk.let(
        JugOpened("J2", "opa_055", "L2", date(2027, 3, 31), NINE, WEEK, "jug_open_life"),
    )
    play_cycle(talk, until="soaking")
    talk.sends("AGAIN", after=30)

    recall(talk)

    assert talk.happened(CycleVoided) == []
    assert step_of(talk) == "wipe_detergent"


# -- releases -----------------------------------------------------------------------------------


def test_S18_a_release_that_nobody_has_used_is_withdrawn_and_every_phone_told_why() -> None:
    talk = clinic()
    play_cycle(talk)

    recall(talk)

    text = (
        "NO LONGER READY: V1. Lot L1 of OPA 0.55 % is recalled. Do not use on a patient; clean "
        "again with another lot: CLEAN V1."
    )
    device = talk.clinic.devices["V1"]
    assert [talk.heard[phone].count(text) for phone in ("ph1", "ph2", "ph9")] == [1, 1, 1]
    assert device.standing is Standing.NOT_READY
    assert talk.sends("CHECK V1", after=20) == [
        "V1 NOT READY: its disinfectant is recalled. Do not use it. Clean it: CLEAN V1."
    ]
    assert all(each.bell for each in talk.said if each.text.slug == "recall.not_ready")


def test_S18_a_release_falls_though_a_later_strip_has_passed_in_its_bath() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    play_cycle(talk, "V2")

    recall(talk)

    assert [event.device for event in talk.happened(ReleaseWithdrawn)] == ["V1", "V2"]


def test_S18_a_release_falls_though_its_bath_was_thrown_away_and_forgotten() -> None:
    talk = clinic()
    play_cycle(talk)
    for tag in ("T1", "B1", "J1"):
        talk.let(ContainerDiscarded(tag))

    recall(talk)

    assert talk.clinic.containers == {}
    assert [event.device for event in talk.happened(ReleaseWithdrawn)] == ["V1"]


def test_S18_a_use_ends_the_release_and_leaves_nothing_to_withdraw_but_a_case() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)

    recall(talk)

    (case,) = talk.happened(CaseOpened)
    assert talk.happened(ReleaseWithdrawn) == []
    assert (case.cause, case.subject, case.since) == ("lot_recalled", "L1", NINE)


# -- strips -------------------------------------------------------------------------------------


def test_S18_recalled_strips_are_condemned_and_what_they_passed_waits_for_another_strip() -> None:
    talk = clinic()
    play_cycle(talk, until="container")

    recall_strips(talk)

    assert fitness(talk) == {
        "J1": Fitness.GOOD,
        "B1": Fitness.GOOD,
        "T1": Fitness.HELD,
        "S1": Fitness.CONDEMNED,
    }
    assert len(talk.happened(CycleVoided)) == 1
    assert "its strips are recalled" in talk.last()
    assert talk.last("ph2") == (
        "DO NOT USE strips of lot L9: recalled. Write RECALLED on them, set them aside. Test with "
        "another lot first what they have passed: T1."
    )


def test_S18_a_bath_held_for_recalled_strips_is_freed_by_a_good_one() -> None:
    talk = clinic()
    play_cycle(talk, until="container")
    recall_strips(talk)
    talk.let(
        StripBottleOpened("S2", "opa_strip_1s_90s", "L10", WEEK.date(), NINE, WEEK, checked=True)
    )

    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    talk.sends(first_digit(talk, "T1"), after=95)

    assert fitness(talk)["T1"] is Fitness.GOOD


def test_S18_a_release_on_a_recalled_strip_is_withdrawn() -> None:
    talk = clinic()
    play_cycle(talk)

    recall_strips(talk)

    assert [event.because for event in talk.happened(ReleaseWithdrawn)] == ["strips_recalled"]


def test_S4_a_strip_of_a_recalled_lot_that_is_being_read_has_no_result() -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    digit = first_digit(talk, "T1")

    recall_strips(talk)

    assert "the strip bottle is not good" in talk.sends(digit, after=95)[0]


# -- told once ----------------------------------------------------------------------------------


def test_S18_workers_hear_what_to_put_aside_and_the_supervisor_once_that_a_case_is_open() -> None:
    talk = clinic()
    before = {phone: len(heard) for phone, heard in talk.heard.items()}

    recall(talk)

    heard = {phone: talk.heard[phone][before.get(phone, 0) :] for phone in ("ph1", "ph2", "ph9")}
    do_not = (
        "DO NOT USE J1, B1, T1: lot L1 of OPA 0.55 % is recalled. Write RECALLED on it, set it "
        "aside, do not pour it away. Take another lot."
    )
    assert heard["ph1"] == heard["ph2"] == [do_not]
    assert [text.split(":")[0] for text in heard["ph9"]] == ["Lot L1 is recalled"]
    assert [event.cause for event in talk.happened(AlertRaised)] == ["recalled_none_void"]


@pytest.mark.parametrize(
    ("until", "cause"), [("soaking", "lot_recalled"), ("inspect", "recalled_none_void")]
)
def test_S18_the_supervisor_hears_of_void_cycles_only_where_some_fell(
    until: str, cause: str
) -> None:
    talk = clinic()
    play_cycle(talk, until=until)

    recall(talk)

    assert bool(talk.happened(CycleVoided)) is (cause == "lot_recalled")
    assert [event.cause for event in talk.happened(AlertRaised)] == [cause]


def test_S18_nor_of_a_detergent_that_no_cycle_notes() -> None:
    talk = clinic()
    talk.let(Mixed("M1", "enzymatic", "", Decimal(500), "L79", NINE, WEEK, "mixed_life"))
    play_cycle(talk)

    recall(talk, product="enzymatic", mark="L79")

    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert talk.last("ph9").startswith("Lot L79 is recalled: keep it, do not pour it away;")
    assert "nothing open or READY is of it" in talk.last("ph9")


def test_S18_a_lot_that_was_never_here_is_warned_of_and_opens_no_case() -> None:
    talk = clinic()

    recall(talk, mark="L404", known=False)

    assert talk.last() == (
        "Lot L404 of OPA 0.55 % is recalled. Do not open or use it. Write RECALLED, DO NOT USE "
        "on it, set it aside for your contact."
    )
    assert talk.happened(CaseOpened) == []
    assert len(talk.happened(AlertRaised)) == 1


def test_S18_recalled_again_nothing_happens() -> None:
    talk = clinic()
    play_cycle(talk)
    recall(talk)
    clinic_before, heard = talk.clinic, {phone: [*each] for phone, each in talk.heard.items()}

    recall(talk, mark="l1")

    assert talk.clinic == clinic_before
    assert talk.heard == heard


def test_S15_what_a_recall_has_done_is_made_again_from_the_record() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    play_cycle(talk, "V2", until="soaking")
    pour(talk, "T2", Kind.BATH, "J1")

    recall(talk)

    assert fold_all(Clinic(), talk.entries) == talk.clinic

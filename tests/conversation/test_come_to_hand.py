"""Asked for a new jug or new strips that a colleague has brought meanwhile (S5, S8)."""

from datetime import date, timedelta

import pytest

from flows.parts.clinic import Kind, Level
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    CycleAbandoned,
    JugActivated,
    JugOpened,
    Poured,
    StripBottleOpened,
    StripsChecked,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import passes, pour
from tests.kit.talk import NINE, clinic

WEEK = NINE + timedelta(days=7)
GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")


def jug(tag: str, product: str = "opa_055", ends: timedelta = timedelta(days=7)) -> JugOpened:
    until = NINE + ends
    return JugOpened(tag, product, "L2", date(2027, 3, 31), NINE, until, "jug_open_life")


@pytest.mark.parametrize("level", list(Level))
def test_S8_who_is_asked_for_a_jug_that_a_colleague_has_opened_wipes_from_that(
    level: Level,
) -> None:
    talk = clinic(level=level, stocked=False)
    play_cycle(talk, until="jug")

    talk.sends("OPEN", phone="ph2", after=20)
    talk.sends("270331", phone="ph2", after=20)
    talk.sends("L2", phone="ph2", after=20)

    assert "OPA 0.55 % from J1" in talk.last()
    assert step_of(talk) in {"wipe_disinfectant", "under"}
    assert talk.sends("EMPTY", after=20)[0] == talk.last()
    assert talk.happened(CycleAbandoned) == []


def test_S8_two_probes_on_one_phone_ask_for_one_jug() -> None:
    talk = clinic(stocked=False, devices=("V1", "V2"))
    play_cycle(talk, "V1", until="jug")
    play_cycle(talk, "V2", until="jug", named=True)

    talk.sends("V1 270331", after=20)
    heard = talk.sends("V1 L2", after=20)

    assert [each for each in heard if each.startswith("V2: gloves on.") and "from J1" in each]
    assert [step_of(talk, each) for each in ("V1", "V2")] == ["fill", "wipe_disinfectant"]


def test_S8_a_bottle_that_a_colleague_has_filled_does_for_the_bath_as_well() -> None:
    talk = clinic(bath=False)
    talk.let(ContainerCondemned("J1", "topped_up"))
    play_cycle(talk, until="wipe_rinse")
    talk.let(ContainerCondemned("B1", "topped_up"))
    play_cycle(talk, until="jug")

    pour(talk, "B2", Kind.BOTTLE, "J1")

    assert talk.last().startswith("No bath is ready. Pour B2 into")


@pytest.mark.parametrize(
    "event",
    [
        jug("J2", product="ga_30"),
        jug("J2", ends=timedelta(minutes=10)),
        jug("J2", ends=-timedelta(days=1)),
        Poured("B2", Kind.BOTTLE, "J1", "opa_055", "L1", NINE, WEEK, "", topped_up=False),
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", NINE, WEEK, "", topped_up=False),
        JugActivated("J9", NINE, WEEK, "activated_life"),
    ],
    ids=["of another product", "too short", "over", "a bottle", "a bath", "not here"],
)
def test_S5_what_does_not_serve_leads_nobody_anywhere(event: JugOpened | Poured) -> None:
    """Asked for here is a jug to fill a bottle from."""
    talk = clinic()
    talk.sends("POUR J1")
    talk.sends("DISCARD J1", after=20)
    heard = len(talk.heard["ph1"])

    talk.let(event)

    assert len(talk.heard["ph1"]) == heard
    assert [each.top.step for each in talk.clinic.threads.values()] == ["jug"]


def test_S5_a_jug_serves_once_it_is_activated() -> None:
    talk = clinic(selection=GLUTARAL)
    play_cycle(talk, until="jug")

    talk.let(jug("J1", product="ga_30"))
    before = step_of(talk)
    talk.let(JugActivated("J1", NINE, WEEK, "activated_life"))

    assert before == "jug"
    assert step_of(talk) == "wipe_disinfectant"


def test_a_jug_that_is_opened_for_its_own_sake_is_asked_for_all_the_same() -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    talk.let(jug("J1"))

    assert [each.top.step for each in talk.clinic.threads.values()] == ["jug"]


@pytest.mark.parametrize("checked", [True, False])
def test_S8_who_is_asked_for_strips_dips_one_of_those_a_colleague_has_opened(
    *, checked: bool
) -> None:
    talk = clinic()
    talk.let(ContainerDiscarded("S1"))
    play_cycle(talk, until="strips")

    talk.let(
        StripBottleOpened(
            "S2", "opa_strip_1s_90s", "L8", date(2027, 3, 31), NINE, WEEK, checked=checked
        )
    )
    before = step_of(talk)
    talk.let(StripsChecked("S2", "L8", passed=True, qc_good=3, qc_diluted=3))

    assert before == ("dip" if checked else "strips")
    assert step_of(talk) == "dip"


def test_S4_who_is_asked_for_a_jug_wipes_from_one_on_hold_once_a_strip_has_cleared_it() -> None:
    """Kin of one that failed: a colleague tests it meanwhile."""
    talk = clinic()
    talk.let(ContainerCondemned("B1", "strip_failed"), ContainerHeld("J1", "kin_failed"))
    play_cycle(talk, until="jug")
    asked = talk.last()

    passes(talk, "J1", phone="ph2")

    assert asked.startswith("J1 is on hold: TEST J1 may clear it.")
    assert talk.last().startswith("V1: gloves on. Wipe handle and cable with OPA 0.55 % from J1")

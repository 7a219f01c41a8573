"""S21: which bath is spoken for, from the strip in it or from its being chosen, to the OUT."""

from flows.parts.clinic import Clinic, Cycle, Frame, Level, Thread
from flows.rules.soak import taken_for
from tests.kit.talk import NINE

DIPPING = Frame("strip_test", "dip", {"container": "T1"})


def cycle(label: str, bath: str | None = None, *done: str) -> Cycle:
    return Cycle(
        f"c{label}",
        label,
        "p1",
        Level.COACH,
        "{}",
        for_repair=False,
        bath=bath,
        done=frozenset(done),
    )


def at_work(*cycles: Cycle, frames: tuple[Frame, ...] = (), of: str = "cV1") -> Clinic:
    thread = Thread("t1", "ph1", "p1", (Frame("cycle", "bath_tested"), *frames), 1, NINE, of)
    return Clinic(cycles={each.id: each for each in cycles}, threads={"t1": thread})


def test_S21_a_bath_that_another_cycle_has_chosen_is_spoken_for() -> None:
    clinic = at_work(cycle("V1", "T1"), cycle("V2"))

    assert taken_for(clinic, "T1", "cV2") == "V1"
    assert taken_for(clinic, "T1", "cV1") is None
    assert taken_for(clinic, "T2", "cV2") is None


def test_S21_until_its_device_has_come_out() -> None:
    out = at_work(cycle("V1", "T1", "contact_soak"), cycle("V2"))
    still_in = at_work(cycle("V1", "T1", "rinse"), cycle("V2"))

    assert taken_for(out, "T1", "cV2") is None
    assert taken_for(still_in, "T1", "cV2") == "V1"


def test_S21_a_strip_in_it_speaks_for_it_as_well() -> None:
    clinic = at_work(cycle("V1"), cycle("V2"), frames=(DIPPING,))

    assert taken_for(clinic, "T1", "cV2") == "V1"
    assert taken_for(clinic, "T1", "cV1") is None
    assert taken_for(clinic, "T2", "cV2") is None


def test_S21_nothing_but_a_strip_does() -> None:
    pouring = Frame("containers", "fill", {"container": "T1"})
    of_nobody = at_work(cycle("V1"), cycle("V2"), frames=(DIPPING,), of="cV9")

    assert taken_for(at_work(cycle("V1"), frames=(pouring,)), "T1", "cV2") is None
    assert taken_for(of_nobody, "T1", "cV2") is None
    assert taken_for(Clinic(), "T1", "cV2") is None


def test_S21_a_strip_beneath_another_question_still_does() -> None:
    opening = Frame("containers", "strips")
    clinic = at_work(cycle("V1"), cycle("V2"), frames=(DIPPING, opening))

    assert taken_for(clinic, "T1", "cV2") == "V1"

"""S4: with two products at a site each is tested by its own strips and stays what it is."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Kind
from flows.parts.events import (
    DeviceEnrolled,
    JugOpened,
    Poured,
    StripBottleOpened,
    StripDipped,
    StripRead,
    StripsChecked,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import clinic, shipped_protocol
from tests.kit.two_products import GLUTARAL, two_products


def test_S4_a_bath_is_tested_by_itself_with_its_own_strips_in_their_time_and_colours() -> None:
    """After 120 s, yellow fails. Source: FDA 510(k) K172472, 2017; not the 90 s of OPA's."""
    talk = two_products()

    (dip,) = talk.sends("TEST T2", after=20)
    (read,) = talk.sends("DIP T2", after=20)
    talk.sends("1", after=125)

    assert "for 2 s" in dip
    assert read == (
        "T2: read the strip after 2 min by your watch. 1 all purple, 2 yellow or patchy, 3 not "
        "sure."
    )
    assert [each.strips for each in talk.happened(StripRead)] == ["S2"]
    assert talk.clinic.containers["T2"].passed is not None


def test_S4_a_strip_of_another_product_opens_no_soak() -> None:
    """As records have it that were written before each was tested by its own."""
    talk = two_products()
    until = talk.now + timedelta(hours=8)
    talk.let(
        StripRead(
            test="t",
            container="T2",
            strips="S1",
            cycle=None,
            outcome="pass",
            seen="pass",
            because="",
            age=timedelta(seconds=95),
            age_proved=True,
            day=talk.now.date(),
            good_until=until,
            lot="L9",
        )
    )
    play_cycle(talk, "V2", until="dip")

    assert step_of(talk, "V2") == "dip"
    assert "Dip a strip of S2 in T2 for 2 s" in talk.last()


@pytest.mark.parametrize("command", ["CLEAN V2", "TEST T2"])
def test_S4_a_strip_is_never_dipped_in_what_it_is_not_made_for(command: str) -> None:
    talk = two_products()
    if command == "CLEAN V2":
        play_cycle(talk, "V2", until="dip")
    else:
        talk.sends(command, after=20)

    (told,) = talk.sends("DIP T1", after=20)

    assert told == "T1 holds OPA 0.55 %, and this strip is for glutaral 3.0 %: dip it in T2 only."
    assert talk.happened(StripDipped) == []


def test_S4_strips_are_tested_in_their_own_product() -> None:
    talk = two_products(checked=False)

    (asked,) = talk.sends("TEST S2", after=20)
    talk.sends("GOOD", after=200)

    assert "3 in good glutaral 3.0 % from J2 must all pass" in asked
    assert [(each.tag, each.passed) for each in talk.happened(StripsChecked)] == [("S2", True)]


def test_S4_new_strips_opened_for_a_test_are_of_the_product_that_is_tested() -> None:
    talk = two_products(strips=False)

    (asked,) = talk.sends("TEST T2", after=20)
    talk.sends("271231", after=20)
    talk.sends("K7", after=20)
    talk.sends("GOOD", after=200)

    assert "New strip bottle for glutaral 3.0 %" in asked
    assert talk.happened(StripBottleOpened)[-1].product == "ga_strip_18"


@pytest.mark.parametrize("tag", ["T2", "S2"])
def test_what_no_probe_here_soaks_in_any_more_is_not_tested(tag: str) -> None:
    talk = two_products()
    talk.protocols.clear()

    (told,) = talk.sends(f"TEST {tag}", after=20)

    assert "no probe here is soaked" in told
    assert f"DISCARD {tag}" in told
    assert talk.clinic.threads == {}


def test_where_there_is_no_strip_for_the_first_probe_the_others_are_tested_all_the_same() -> None:
    talk = two_products()
    talk.protocol = shipped_protocol(Selection("chlorine_01", "", "plastic_probe", "enzymatic"))

    (asked,) = talk.sends("TEST T2", after=20)

    assert "Dip a strip of S2 in T2 for 2 s" in asked


@pytest.mark.parametrize(
    ("named", "kind", "done"), [("B2", Kind.BATH, "poured"), ("J2", Kind.BOTTLE, "filled")]
)
def test_S5_what_is_named_is_poured_within_the_cleaning_of_a_probe_that_soaks_in_it(
    named: str, kind: Kind, done: str
) -> None:
    """And the label says what is in it, not what the first probe here soaks in."""
    talk = two_products()
    play_cycle(talk, "V2", until="under")

    (asked,) = talk.sends(f"POUR {named}", after=20)
    label, *_ = talk.sends(done, after=20)

    (*_, poured) = talk.happened(Poured)
    assert f"Pour {named} into" in asked
    assert "glutaral 3.0 %" in label
    assert (poured.source, poured.product, poured.kind) == (named, "ga_30", kind)


# -- which of them a command is about ------------------------------------------------------------

WHICH = "Of which? Probes here soak in OPA 0.55 %, glutaral 3.0 %. Please say its name too, like "


@pytest.mark.parametrize(
    ("command", "like"),
    [
        ("OPEN", "OPEN GLUTARAL"),
        ("OPEN S", "OPEN S GLUTARAL"),
        ("POUR", "POUR GLUTARAL"),
        ("MIX WASTE 2 L", "MIX WASTE GLUTARAL 2 L"),
        ("MIX COLD", "MIX COLD GLUTARAL"),
        ("MIX WATER", "MIX WATER GLUTARAL"),
    ],
)
def test_with_two_products_it_is_asked_which_one_and_the_answer_is_a_text(
    command: str, like: str
) -> None:
    talk = two_products()

    heard = talk.sends(command, after=20)
    then = talk.sends(like, after=20)

    assert heard == [f"{WHICH}{like}."]
    assert "glutaral 3.0 %" in then[0] or "B2" in then[0]


@pytest.mark.parametrize("said", ["OPA", "opa 0.55%", "OPA 0.55 %"])
def test_S5_a_jug_is_opened_as_what_was_named(said: str) -> None:
    talk = two_products()

    talk.sends(f"OPEN {said}", after=20)
    talk.sends("271231", after=20)
    talk.sends("L9", after=20)

    assert talk.happened(JugOpened)[-1].product == "opa_055"


@pytest.mark.parametrize("said", ["GLUT", "glutaraldehyde", "Glutaral 3.0"])
def test_it_is_named_as_people_name_it(said: str) -> None:
    talk = two_products()

    (asked,) = talk.sends(f"OPEN {said}", after=20)

    assert asked.startswith("New jug of glutaral 3.0 %, opened now")


def test_S5_within_a_cleaning_a_new_jug_is_of_what_its_probe_soaks_in() -> None:
    talk = two_products()
    play_cycle(talk, "V2", until="under")

    (asked,) = talk.sends("OPEN", after=20)

    assert asked.startswith("New jug of glutaral 3.0 %")


def test_S10_a_jug_of_another_product_is_another_question() -> None:
    """A date given for the one is not that of the other."""
    talk = two_products()
    talk.sends("OPEN OPA", after=20)
    talk.sends("271231", after=20)

    (asked,) = talk.sends("OPEN GLUTARAL", after=20)
    (again,) = talk.sends("OPEN GLUTARAL", after=20)

    assert asked == again
    assert asked.startswith("New jug of glutaral 3.0 %, opened now: its expiry date?")


@pytest.mark.parametrize(("command", "same"), [("POUR", True), ("POUR OPA", False)])
def test_S10_what_a_cleaning_asks_already_is_asked_again_and_nothing_else_is(
    command: str, *, same: bool
) -> None:
    talk = two_products()
    talk.sends("DISCARD T2", after=20)
    play_cycle(talk, "V2", until="fill")

    (asked,) = talk.sends(command, after=20)

    assert (len(talk.clinic.threads) == 1) is same
    assert f"Pour {'B2' if same else 'B1'} into" in asked


def test_what_is_poured_away_is_made_harmless_by_its_own_dose() -> None:
    """26.5 g glycine a litre. Source: a university safety office's protocol, 100 g a US gallon."""
    talk = two_products()
    play_cycle(talk, "V1", until="under")

    asked = talk.sends("MIX WASTE 2 L", after=20)
    (told,) = talk.sends("MIX WASTE GLUTARAL 2 L", after=20)

    assert asked[0].startswith("Of which?")
    assert told.startswith("2 L of glutaral 3.0 %: stir in 53 g glycine")


def test_two_strengths_of_one_substance_are_told_apart_by_their_figures() -> None:
    talk = two_products()
    peroxide = shipped_protocol(Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic"))
    talk.protocols["sealed_probe"] = peroxide
    weaker = replace(peroxide.chemistry, name="hp_weaker", title="HP 2.0 %")
    talk.protocols["other_probe"] = replace(peroxide, chemistry=weaker)
    talk.let(DeviceEnrolled("V3", "other_probe"))

    (asked,) = talk.sends("MIX COLD HP", after=20)
    (told,) = talk.sends("MIX COLD HP 7.5 %", after=20)

    assert asked.startswith("Of which?")
    assert told.startswith("HP 7.5 %: 20 C at least")


@pytest.mark.parametrize(
    ("said", "asks"),
    [
        ("OPEN V2", "New jug of glutaral 3.0 %, opened now: "),
        ("OPEN S V2", "New strip bottle for glutaral 3.0 %, opened now: "),
        ("POUR V2", "Pour B2 into an empty, washed, dry tub "),
        ("MIX COLD V2", "glutaral 3.0 %: "),
    ],
)
def test_S4_a_device_stands_for_what_it_soaks_in(said: str, asks: str) -> None:
    talk = two_products()

    assert talk.sends(said)[-1].startswith(asks)


def test_S4_a_product_that_the_site_changes_before_the_lot_is_told_is_asked_anew() -> None:
    """Else the jug would be noted as what it is not."""
    talk = clinic()
    talk.sends("OPEN")
    talk.sends("270331", after=20)
    talk.protocol = shipped_protocol(GLUTARAL)

    (asked,) = talk.sends("L2", after=20)

    assert asked.startswith("New jug of glutaral 3.0 %, opened now: its expiry date?")
    assert [*talk.clinic.containers] == ["J1", "B1", "T1"]


def test_S4_a_product_by_itself_is_asked_what_to_do_with_it() -> None:
    talk = two_products()
    talk.sends("OPEN", after=20)

    (asked,) = talk.sends("glutaral", after=20)

    assert asked == (
        "What about glutaral 3.0 %? Please say it in one text, like OPEN GLUTARAL, POUR "
        "GLUTARAL, OPEN S GLUTARAL or MIX WASTE GLUTARAL 2 L."
    )
    assert not clinic().sends("opa")[0].startswith("What about")

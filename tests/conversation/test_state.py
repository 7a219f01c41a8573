"""STATE: what is ready; and for each container its life on the record (S4, S5)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from bot.texts.segments import segments
from flows.parts.clinic import Kind, Level
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    JugOpened,
    StripBottleOpened,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.strips import passes, pour
from tests.kit.talk import Talk, clinic


def counted(talk: Talk, uses: int) -> Talk:
    """A product whose baths take so many soaks."""
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=uses)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    return talk


def test_state_says_what_is_ready_and_how_every_container_stands() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)

    devices, containers = talk.sends("STATE")

    assert devices == ("Ready: V1. Of 2 devices; all others NOT READY. More: CHECK V1, STATE T1.")
    assert containers == (
        "T1 until 9 Mar 12:00; B1 until 9 Mar 12:00; J1 until 9 Mar 12:00; S1 until 9 Mar 12:00."
    )


def test_state_of_one_device_looks_at_that_one() -> None:
    talk = clinic(devices=("V1", "V2", "V3"))
    play_cycle(talk)
    play_cycle(talk, "V3")

    (ready,), (other,) = talk.sends("STATE V1"), talk.sends("state v2")
    (both,) = talk.sends("STATE V1 V2")

    assert ready == "Ready: V1. NOT READY: none. More: CHECK V1."
    assert other == "Ready: none. NOT READY: V2. More: CHECK V2."
    assert both == "Ready: V1. NOT READY: V2. More: CHECK V1."


@pytest.mark.parametrize("body", ["STATE T9", "state T9 please", "STATE t9."])
def test_state_of_what_nobody_knows_says_so(body: str) -> None:
    assert clinic().sends(body) == ["I know no T9 here. Everything: STATE."]


def test_state_said_politely_is_the_state_of_everything() -> None:
    assert clinic().sends("STATE please, thanks") == clinic().sends("STATE")


@pytest.mark.parametrize(
    ("baths", "rows"), [(0, [3]), (1, [4]), (2, [4, 1]), (3, [4, 2]), (4, [4, 3]), (5, [4, 4])]
)
def test_state_says_four_to_a_text(baths: int, rows: list[int]) -> None:
    talk = clinic(bath=False)
    for at in range(baths):
        pour(talk, f"T{at + 1}", Kind.BATH, "B1")

    _, *texts = talk.sends("STATE")

    assert [text.count(";") + 1 for text in texts] == rows


def test_state_counts_what_does_not_fit_three_texts() -> None:
    talk = clinic()
    for at in range(2, 9):
        pour(talk, f"T{at}", Kind.BATH, "B1")

    texts = talk.sends("STATE")

    assert len(texts) == 3
    assert texts[-1].endswith("; 4 more.")


def test_state_of_a_clinic_without_anything_is_one_text() -> None:
    assert len(clinic(stocked=False).sends("STATE")) == 1


def condemns(talk: Talk) -> None:
    talk.let(ContainerCondemned("T1", "strip_failed"))


def ends(talk: Talk) -> None:
    talk.now = talk.clinic.containers["T1"].discard_by


def uses_up(talk: Talk) -> None:
    play_cycle(counted(talk, 1))


def tops_up(talk: Talk) -> None:
    talk.let(ContainerCondemned("T1", "topped_up"))


def recalls(talk: Talk) -> None:
    talk.let(ContainerCondemned("T1", "recalled"))


@pytest.mark.parametrize(
    ("spoils", "why"),
    [
        (condemns, "a strip failed"),
        (ends, "out of date"),
        (uses_up, "its soaks are used up"),
        (tops_up, "it was topped up"),
        (recalls, "condemned"),
    ],
)
def test_what_is_not_for_use_comes_last_and_says_why(
    spoils: Callable[[Talk], None], why: str
) -> None:
    talk = clinic()
    spoils(talk)

    _, rows = talk.sends("STATE")
    _, text = talk.sends("STATE T1")

    assert "T1 NOT FOR USE" in rows
    assert not rows.startswith("T1 until")
    assert text == (
        f"T1: NOT FOR USE: {why}. Throw it away by the maker's sheet, then text DISCARD T1."
    )


@pytest.mark.parametrize(
    ("because", "begins"),
    [
        ("kin_failed", "T1: ON HOLD until a strip of its own passes: TEST T1."),
        ("no_result", "T1: ON HOLD after two strips without a result."),
    ],
)
def test_what_is_on_hold_says_what_would_free_it(because: str, begins: str) -> None:
    talk = clinic()
    talk.let(ContainerHeld("T1", because))

    _, rows = talk.sends("STATE")
    _, text = talk.sends("STATE T1")

    assert "T1 ON HOLD" in rows
    assert text.startswith(begins)


def test_a_bath_tells_its_lot_its_source_its_date_and_the_limit_that_decided() -> None:
    talk = clinic()

    origin, use = talk.sends("STATE T1")

    assert origin == (
        "T1: bath of OPA 0.55 %, lot L1, poured from B1 12:00. Good to 9 Mar 12:00: its "
        "days of use."
    )
    assert use == "T1: no strip has passed in it for the next soak yet. Soaks so far: 0."


def test_a_bath_tells_its_strip_and_counts_its_soaks() -> None:
    talk = counted(clinic(), 20)
    play_cycle(talk)
    passes(talk, "T1")

    _, rows = talk.sends("STATE")
    _, use = talk.sends("STATE T1")

    assert rows.startswith("T1 until 9 Mar 12:00, strip passed; ")
    assert use == (
        f"T1: strip passed {talk.now + timedelta(hours=3):%H:%M}, good to the end of 2 Mar 2026 "
        "for one soak. Soaks so far: 1 of 20 at most."
    )


def test_a_pass_that_a_soak_has_used_is_no_pass_for_the_next() -> None:
    talk = clinic()
    play_cycle(talk)

    _, use = talk.sends("STATE T1")

    assert use == "T1: no strip has passed in it for the next soak yet. Soaks so far: 1."


def test_a_bath_with_a_device_in_it_says_which() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    _, rows = talk.sends("STATE")
    _, use = talk.sends("STATE T1")

    assert rows.startswith("T1 until 9 Mar 12:00, V1 in it; ")
    assert use == "T1: V1 is in it. Soaks so far: 1."


def test_a_jug_tells_its_expiry_and_what_was_poured_from_it() -> None:
    talk = clinic()

    origin, use = talk.sends("STATE J1")

    assert origin == (
        "J1: jug of OPA 0.55 %, lot L1, expiry 31 Mar 2027, opened 12:00. Good to "
        "9 Mar 12:00: the jug's open life."
    )
    assert use == "J1: for use. Poured from it: B1."


def test_a_bottle_tells_what_was_poured_from_it() -> None:
    origin, use = clinic().sends("STATE B1")

    assert origin.startswith("B1: bottle of OPA 0.55 %, lot L1, poured from J1 12:00.")
    assert use == "B1: for use. Poured from it: T1."


def test_a_bottle_that_is_tested_itself_tells_its_strip() -> None:
    talk = clinic()
    passes(talk, "B1")

    _, use = talk.sends("STATE B1")

    assert use == (
        f"B1: strip passed {talk.now + timedelta(hours=3):%H:%M}, good to the end of 2 Mar 2026. "
        "Poured from it: T1."
    )


def test_what_was_thrown_away_is_told_where_it_is_still_kept_and_not_listed() -> None:
    talk = clinic()
    talk.let(ContainerDiscarded("B1"))

    _, rows = talk.sends("STATE")
    _, use = talk.sends("STATE B1")

    assert "B1" not in rows
    assert use == "B1: NOT FOR USE, noted as thrown away."


def test_a_lot_that_nobody_noted_and_a_limit_that_nobody_knows_are_said_so() -> None:
    """An entry of another release may name a limit that this one has no words for."""
    talk = clinic()
    week = talk.now + timedelta(days=7)
    talk.let(JugOpened("J2", "ga_24", "", date(2027, 3, 31), talk.now, week, "of_old"))

    (origin, _) = talk.sends("STATE J2")

    assert origin.startswith("J2: jug of glutaral 2.4 %, lot not noted, ")
    assert origin.endswith(": the first of its limits.")


# -- what is not ready yet, or for one soak -----------------------------------------------------


def glutaral() -> Talk:
    talk = clinic(selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"))
    for body in ("OPEN", "270331", "L7"):
        talk.sends(body, after=20)
    return talk


def test_S5_a_jug_that_nobody_has_activated_is_not_said_to_be_for_use() -> None:
    talk = glutaral()

    before = talk.sends("STATE"), talk.sends("STATE J1")
    talk.sends("POUR J1", after=20)
    talk.sends("active", after=20)
    after = talk.sends("STATE"), talk.sends("STATE J1")

    assert before[0][1].endswith(", not active.")
    assert before[1][1] == (
        "J1: not noted as activated, so not for use yet: POUR J1 leads through it."
    )
    assert "not active" not in after[0][1]
    assert after[1][1] == "J1: for use. Poured from it: none."


def mixed_for_one_soak(until: str = "immerse") -> Talk:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    play_cycle(talk, until=until)
    return talk


def test_S4_where_no_strip_exists_state_speaks_of_none_and_says_whose_soak_it_is_for() -> None:
    talk = mixed_for_one_soak()

    _, use = talk.sends("STATE T1")

    assert use == "T1: mixed for the next soak of V1 and for no other. No strip exists for it."
    assert talk.sends("STATE J1")[0].startswith("J1: jug of bleach/powder, lot ")


def test_S4_its_only_soak_while_it_lasts_is_no_reason_to_throw_it_away() -> None:
    talk = mixed_for_one_soak(until="soaking")

    _, rows = talk.sends("STATE")
    _, use = talk.sends("STATE T1")

    assert ", V1 in it; " in rows
    assert use == "T1: V1 is in it. Soaks so far: 1 of 1 at most."


@pytest.mark.parametrize(
    ("ends", "why"),
    [("FAULT V1", "its cleaning is over"), ("", "its soaks are used up")],
)
def test_S4_a_bath_mixed_for_one_soak_is_for_none_once_its_cleaning_is_over(
    ends: str, why: str
) -> None:
    talk = mixed_for_one_soak()
    if ends:
        talk.sends(ends, after=20)
    else:
        play_cycle(talk)

    _, rows = talk.sends("STATE")
    _, use = talk.sends("STATE T1")

    assert "T1 NOT FOR USE" in rows
    assert use.startswith(f"T1: NOT FOR USE: {why}.")


# -- strips -------------------------------------------------------------------------------------


def test_strips_tell_their_lot_and_their_date() -> None:
    talk = clinic()
    talk.sends("OPEN S")
    for answer in ("270331", "K208", "good"):
        talk.sends(answer, after=100)

    origin, use = talk.sends("STATE S2")

    assert origin == (
        "S2: OPA strip, lot K208, expiry 31 Mar 2027, opened 12:00. Good to the end of "
        "30 May 2026: the strips' open life."
    )
    assert use == "S2: for use. Tested with good and half-strength solution."


@pytest.mark.parametrize(
    ("spoils", "said"),
    [
        ("unchecked", "S1: NOT FOR USE: not tested yet with good and half-strength solution."),
        ("date", "S1: NOT FOR USE. Throw it away, then text DISCARD S1."),
        ("discarded", "S1: NOT FOR USE, noted as thrown away."),
    ],
)
def test_strips_that_are_not_for_use_say_so(spoils: str, said: str) -> None:
    talk = clinic(stocked=False)
    week = talk.now + timedelta(days=7)
    checked = spoils != "unchecked"
    talk.let(
        StripBottleOpened(
            "S1", "opa_strip_1s_90s", "L9", date(2027, 3, 31), talk.now, week, checked=checked
        )
    )
    if spoils == "date":
        talk.now = week
    if spoils == "discarded":
        talk.sends("DISCARD S1")

    _, *rows = talk.sends("STATE")
    _, use = talk.sends("STATE S1")

    assert use.startswith(said)
    assert rows == ([] if spoils == "discarded" else ["S1 NOT FOR USE."])


def test_every_text_of_a_state_is_one_segment() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")

    texts = [text for what in ("", "T1", "B1", "J1", "S1") for text in talk.sends(f"STATE {what}")]

    assert {segments(text).count for text in texts} == {1}


def test_what_an_older_release_has_not_kept_is_said_to_be_missing() -> None:
    talk = clinic()
    jug = replace(talk.clinic.containers["J1"], expires=None)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "J1": jug})

    origin, _ = talk.sends("STATE J1")

    assert "expiry not noted, opened 12:00." in origin


def test_S4_what_must_not_be_used_is_counted_where_there_is_no_room_for_it() -> None:
    """And what is for use comes first, the strips among it."""
    talk = clinic()
    for number in range(2, 10):
        pour(talk, f"T{number}", Kind.BATH, "B1")
    talk.let(*(ContainerCondemned(f"T{number}", "strip_failed") for number in range(2, 8)))

    _, first, second = talk.sends("STATE")

    assert "S1 until" in second
    assert first.startswith("T1 until")
    assert second.endswith("; 5 more, NOT FOR USE 5.")


def test_what_there_is_no_room_for_is_counted() -> None:
    talk = clinic()
    for number in range(2, 10):
        pour(talk, f"T{number}", Kind.BATH, "B1")

    assert talk.sends("STATE")[-1].endswith("; 5 more.")


def test_S5_a_third_that_is_named_is_not_left_out_without_a_word() -> None:
    talk = clinic()

    *_, rest = talk.sends("STATE T1 B1 J1 S1 T9")

    assert rest == "Two at a time, please. Now the rest: STATE J1 S1 T9."


def test_S4_what_no_probe_here_soaks_in_is_not_for_use_here() -> None:
    talk = clinic()
    week = talk.now + timedelta(days=7)
    talk.let(JugOpened("J2", "ga_30", "G1", date(2027, 3, 31), talk.now, week, "maker_expiry"))

    _, use = talk.sends("STATE J2")

    assert use == ("J2: NOT FOR USE here: no probe of this site is soaked in glutaral 3.0 %.")


def test_what_is_gone_with_all_that_came_from_it_is_said_to_be_gone() -> None:
    talk = clinic()
    for tag in ("T1", "B1", "J1"):
        talk.sends(f"DISCARD {tag}", after=20)

    gone, unknown = talk.sends("STATE J1"), talk.sends("STATE J2")

    assert talk.sends("DISCARD J1") == gone
    assert gone == [
        "No J1 stands here now: it was thrown away, or its day is over. Everything: STATE."
    ]
    assert unknown == ["I know no J2 here. Everything: STATE."]


def test_S6_what_was_poured_from_a_bottle_that_was_topped_up_is_said_to_be() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk)
    talk.sends("TOPPED B1", phone="ph2", after=60)

    of_bath = " ".join(talk.sends("STATE T1", after=60))
    of_bottle = " ".join(talk.sends("STATE B1", after=60))

    assert of_bath.count("its source was topped up") == 2
    assert of_bottle.count("it was topped up") == 2

"""S5: what is opened of a lot that still stands here may be that very one: no date moves later."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Container, Fitness, Kind, StripBottle
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    JugOpened,
    Poured,
    Recalled,
    StripBottleOpened,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import fails, passes
from tests.kit.talk import Talk, clinic

DAY = timedelta(days=1)
OPEN = {"J": "OPEN", "S": "OPEN S"}
LETTERS = pytest.mark.parametrize("letter", ["J", "S"])


def opens(talk: Talk, letter: str, lot: str, expires: str = "270331") -> list[str]:
    """OPEN, whole, on a phone that has done nothing else for a while; what is heard at its end."""
    talk.sends(OPEN[letter], after=20 * 60)
    talk.sends(expires, after=20)
    return says_lot(talk, letter, lot)


def says_lot(talk: Talk, letter: str, lot: str) -> list[str]:
    """What is heard of it; the control of new strips is done."""
    heard = talk.sends(lot, after=20)
    if letter == "S" and "must all" in heard[-1]:
        talk.sends("good", after=600)
        heard.pop()
    return heard


def found(talk: Talk, tag: str) -> Container | StripBottle | None:
    return {**talk.clinic.containers, **talk.clinic.strips}.get(tag)


def ends(talk: Talk, tag: str) -> str:
    one = found(talk, tag)
    assert one is not None
    return one.discard_by.isoformat()


def stocked(lot: str = "D4410") -> Talk:
    """A jug and a bottle of strips of one lot, opened by text; and what strips are tested in."""
    talk = clinic(stocked=False)
    year = talk.now + 365 * DAY
    talk.let(Poured("T9", Kind.BATH, "J9", "opa_055", "X9", talk.now, year, "", topped_up=False))
    for letter in OPEN:
        opens(talk, letter, lot)
    return talk


@LETTERS
@pytest.mark.parametrize("said", ["D4410", "lot no D4410", "d441o", "D44I0"])
def test_S5_opened_again_it_has_no_later_date_however_its_lot_is_written(
    letter: str, said: str
) -> None:
    talk = stocked()
    talk.now += 3 * DAY

    heard = opens(talk, letter, said)

    first, second = f"{letter}1", f"{letter}2"
    assert ends(talk, second) == ends(talk, first)
    assert heard[0] == (
        f"{second} may be {first}, no lot tells them apart: it has the date of {first}. When "
        f"{first} is thrown away text DISCARD {first}, before the next is opened."
    )
    assert heard[1].startswith(f"Write on it: {second}-")


@LETTERS
def test_S5_an_earlier_date_of_another_lot_stays_and_nothing_is_said_of_the_other(
    letter: str,
) -> None:
    talk = stocked()

    heard = opens(talk, letter, "D4411", expires="260309")

    assert ends(talk, f"{letter}2") < ends(talk, f"{letter}1")
    assert heard[0].startswith(f"Write on it: {letter}2-")


@LETTERS
def test_S5_where_both_end_together_nothing_is_said_of_the_other(letter: str) -> None:
    talk = clinic(stocked=False)
    opens(talk, letter, "D4410", expires="260309")

    heard = opens(talk, letter, "D4410", expires="260309")

    assert heard[0].startswith(f"Write on it: {letter}2-")


@pytest.mark.parametrize(("before", "refused"), [(0, True), (1, False)])
@LETTERS
def test_S5_until_the_very_moment_that_it_ends_another_of_its_lot_is_opened(
    letter: str, before: int, *, refused: bool
) -> None:
    """And from it on none is."""
    talk = clinic()
    first = found(talk, f"{letter}1")
    assert first is not None
    talk.now = first.discard_by - timedelta(seconds=40 + before)
    for said in (OPEN[letter], "270331"):
        talk.sends(said, after=20 if said == "270331" else 0)

    heard = talk.sends(first.lot, after=20)

    assert heard[0].startswith(f"{letter}1 is out of use, and no lot") is refused


@LETTERS
def test_S5_of_three_the_first_to_end_decides(letter: str) -> None:
    talk = stocked()
    opens(talk, letter, "D4410", expires="260309")

    opens(talk, letter, "D4410")

    assert ends(talk, f"{letter}3") == ends(talk, f"{letter}2")


@LETTERS
def test_S5_another_lot_has_a_date_of_its_own(letter: str) -> None:
    talk = stocked()
    talk.now += 3 * DAY

    opens(talk, letter, "D4411")

    assert ends(talk, f"{letter}2") > ends(talk, f"{letter}1")


@LETTERS
def test_S5_a_lot_of_another_product_is_another_though_its_number_is_the_same(letter: str) -> None:
    talk = clinic(stocked=False)
    day, tomorrow = date(2027, 3, 31), talk.now + DAY
    talk.let(
        JugOpened("J1", "ga_30", "D4410", day, talk.now, tomorrow, "maker_expiry"),
        StripBottleOpened("S1", "ga_strip", "D4410", day, talk.now, tomorrow, checked=True),
    )

    heard = opens(talk, letter, "D4410")

    assert heard[0].startswith(f"Write on it: {letter}2-")
    assert ends(talk, f"{letter}2") > ends(talk, f"{letter}1")


@LETTERS
@pytest.mark.parametrize("discarded", [False, True])
def test_S5_one_without_a_lot_may_be_the_one_before_it_until_that_is_thrown_away(
    letter: str, *, discarded: bool
) -> None:
    talk = stocked("none")
    before = ends(talk, f"{letter}1")
    if discarded:
        talk.sends(f"DISCARD {letter}1", after=20)
    talk.now += 3 * DAY

    opens(talk, letter, "none")

    newest = f"{letter}2" if found(talk, f"{letter}2") else f"{letter}1"
    assert (ends(talk, newest) > before) is discarded


ONE_HAS_NO_LOT = pytest.mark.parametrize(("first", "then"), [("D4417", "none"), ("none", "D4417")])
"""Whichever of the two it is: no lot tells the one from the other."""


@LETTERS
@ONE_HAS_NO_LOT
def test_S5_nor_has_it_a_later_date_where_either_has_no_lot(
    letter: str, first: str, then: str
) -> None:
    talk = stocked(first)
    talk.now += 3 * DAY

    heard = opens(talk, letter, then)

    assert ends(talk, f"{letter}2") == ends(talk, f"{letter}1")
    assert heard[0].startswith(f"{letter}2 may be {letter}1, no lot tells them apart: ")


@LETTERS
@ONE_HAS_NO_LOT
def test_S5_nor_is_it_opened_while_what_it_may_be_is_out_of_use(
    letter: str, first: str, then: str
) -> None:
    talk = stocked(first)
    talk.let(ContainerCondemned(f"{letter}1", "figure_recalled"))

    (refused,) = opens(talk, letter, then)

    assert refused.startswith(f"{letter}1 is out of use, and no lot tells this from it.")
    assert found(talk, f"{letter}2") is None


@ONE_HAS_NO_LOT
def test_S4_one_that_may_be_a_jug_that_failed_is_held_for_a_strip(first: str, then: str) -> None:
    talk = stocked(first)
    talk.let(ContainerCondemned("J1", "strip_failed"))

    heard = opens(talk, "J", then)

    second = talk.clinic.containers["J2"]
    assert (second.fitness, second.why) == (Fitness.HELD, "kin_failed")
    assert heard[-1].startswith("J2: ON HOLD until a strip of its own passes")


@pytest.mark.parametrize(
    ("letter", "what", "product"),
    [("J", "lot", "opa_055"), ("S", "strip_lot", "opa_strip_1s_90s")],
)
def test_S18_one_whose_lot_is_not_the_recalled_is_none_set_aside_for_want_of_a_lot(
    letter: str, what: str, product: str
) -> None:
    """What has no lot waits for the contact; meanwhile the cleanings go on."""
    talk = stocked("none")
    talk.let(Recalled("r1", what, product, "D4410", "", "digest", None))

    heard = opens(talk, letter, "D4417")

    assert found(talk, f"{letter}1").fitness is Fitness.CONDEMNED  # type: ignore[union-attr]
    assert heard[-1].startswith(f"Write on it: {letter}2-")
    assert ends(talk, f"{letter}2") == ends(talk, f"{letter}1")


@LETTERS
def test_S5_of_what_is_over_here_none_is_opened_until_it_is_thrown_away(letter: str) -> None:
    """It may be that very one; the same lot said once more is no double (S10)."""
    talk = stocked()
    talk.now += 100 * DAY

    (refused,) = opens(talk, letter, "D4410")
    opened = found(talk, f"{letter}2")
    talk.sends(f"DISCARD {letter}1", after=20)
    heard = says_lot(talk, letter, "D4410")

    assert refused == (
        f"{letter}1 is out of use, and no lot tells this from it. Is this {letter}1? Take "
        f"another, reply DATE. Is {letter}1 thrown away? Text DISCARD {letter}1, "
        "then the lot again."
    )
    assert opened is None
    assert heard[0].startswith("Write on it: ")


@LETTERS
def test_S5_nor_of_what_is_condemned(letter: str) -> None:
    """By a figure that was wrong: no date that was reckoned with it is carried on."""
    talk = stocked()
    talk.let(ContainerCondemned(f"{letter}1", "figure_recalled"))

    (refused,) = opens(talk, letter, "D4410")

    assert refused.startswith(f"{letter}1 is out of use, and no lot tells this from it.")
    assert found(talk, f"{letter}2") is None


@LETTERS
def test_S5_another_is_opened_with_its_own_date_and_lot(letter: str) -> None:
    talk = stocked()
    talk.now += 100 * DAY
    opens(talk, letter, "D4410")

    talk.sends("DATE", after=20)
    talk.sends("270430", after=20)
    heard = says_lot(talk, letter, "D4411")

    assert heard[0].startswith(f"Write on it: {letter}2-")


def test_S4_strips_that_failed_their_control_are_not_tried_again_under_another_tag() -> None:
    talk = clinic(stocked=False)
    for said in ("OPEN", "280331", "L77", "OPEN S", "270331", "K208", "unsure"):
        talk.sends(said, after=20)

    (refused,) = opens(talk, "S", "K208", "270430")

    assert refused.startswith("S1 is out of use, and no lot tells this from it.")
    assert [*talk.clinic.strips] == ["S1"]


@ONE_HAS_NO_LOT
def test_S4_what_may_be_a_jug_that_fails_later_is_held_with_what_was_poured_from_it(
    first: str, then: str
) -> None:
    """Whichever of the two was opened first: no lot tells the one from the other."""
    talk = stocked(first)
    opens(talk, "J", then)
    for tag in ("J1", "J2"):
        talk.sends(f"POUR {tag}", after=20 * 60)
        talk.sends("FILLED", after=300)

    heard = fails(talk, "B1")

    held = {tag for tag, each in talk.clinic.containers.items() if each.fitness is Fitness.HELD}
    assert held == {"J1", "J2", "B2"}
    assert heard[1].startswith("ON HOLD, as the strip of B1 failed: ")


def test_S4_a_jug_of_another_lot_is_not_held_with_it() -> None:
    talk = stocked("D4410")
    opens(talk, "J", "D4411")

    fails(talk, "J1")

    assert talk.clinic.containers["J2"].fitness is Fitness.GOOD


def opened_twice() -> Talk:
    """S2 and S3 of one lot, on two phones at once; the control of S3 has failed."""
    talk = clinic()
    for said in ("OPEN S", "270331", "K208"):
        talk.sends(said, after=20)
    for said in ("OPEN S", "270331", "K208", "unsure"):
        talk.sends(said, phone="ph2", after=20)
    return talk


def test_S4_a_twin_that_failed_its_control_while_the_strips_were_tested_is_found() -> None:
    """It may be one bottle under two tags: of two who have tested it the worse counts."""
    talk = opened_twice()

    (refused,) = talk.sends("good", after=600)

    assert refused == (
        "S3 is out of use, and no lot tells S2 from it. Another bottle? Throw S3 away, text "
        "DISCARD S3, then GOOD again. Else UNSURE."
    )
    assert talk.clinic.strips["S2"].checked is False


def test_S4_once_that_one_is_thrown_away_the_other_has_passed() -> None:
    talk = opened_twice()
    talk.sends("good", after=600)

    talk.sends("DISCARD S3", after=20)
    (said,) = talk.sends("good", after=20)

    assert said.startswith("S2 is tested: its strips are good to ")


def test_S4_a_control_that_fails_leaves_its_twin_to_be_tested_again() -> None:
    """S1 judged, and has the lot of the bottle that has failed: it may be that very one."""
    talk = stocked("K208")
    passes(talk, "T9")
    opens_s2 = ("OPEN S", "270331", "K208")
    for said in opens_s2:
        talk.sends(said, phone="ph2", after=20)

    heard = talk.sends("unsure", phone="ph2", after=20)

    assert heard[0].startswith("Then none of those strips, S2, may be used")
    assert heard[1] == (
        "S1 may be S2, no lot tells them apart: S1 judges nothing until it is tested again. When "
        "S2 is thrown away, text DISCARD S2, then TEST S1."
    )
    assert talk.clinic.strips["S1"].checked is False
    assert talk.clinic.containers["T9"].fitness is Fitness.HELD
    assert talk.sends("STATE S1")[1].startswith("S1: NOT FOR USE: not tested yet")


def test_S4_once_tested_again_it_judges() -> None:
    talk = opened_twice()
    talk.sends("DISCARD S3", after=20)
    talk.sends("good", after=600)

    assert talk.clinic.strips["S2"].checked is True


def test_S8_a_cycle_goes_on_once_the_strips_that_are_over_are_thrown_away() -> None:
    talk = clinic()
    over = replace(talk.clinic.strips["S1"], discard_by=talk.now, lot="L78")
    talk.clinic = replace(talk.clinic, strips={"S1": over})
    play_cycle(talk, until="strips_lot")

    (refused,) = talk.sends("L78", after=20)
    talk.let(ContainerDiscarded("S1"))
    play_cycle(talk, until="immerse")

    assert refused.startswith("S1 is out of use, and no lot tells this from it.")
    assert step_of(talk) == "immerse"


# -- two expiries of one lot ----------------------------------------------------------------------


@LETTERS
def test_S5_of_one_lot_the_earlier_expiry_counts_for_both_and_the_text_says_so(
    letter: str,
) -> None:
    """A lot has one expiry; of two that were read off it the later is never used."""
    talk = stocked()
    first, second = f"{letter}1", f"{letter}2"

    heard = opens(talk, letter, "lot d4410", expires="260430")

    assert ends(talk, first) == ends(talk, second)
    assert found(talk, first).because == "maker_expiry"  # type: ignore[union-attr]
    assert heard[0] == (
        f"{second} is of the same lot as {first}, and a lot has one expiry: the earlier date, "
        f"that of {second}, counts for all of them. Look at the labels again."
    )
    assert heard[1].startswith(f"Write on it: {second}-")
    assert heard[2].startswith(f"{first}: its date was wrong and is earlier. Write on its label: ")


@LETTERS
def test_S5_whose_label_bears_a_later_date_tells_that_it_is_not_its_own(letter: str) -> None:
    talk = clinic(stocked=False)
    opens(talk, letter, "D4410", "260320")
    opens(talk, letter, "D4410", "260430")

    own, of_its_lot = (talk.sends(f"STATE {letter}{at}")[0] for at in (1, 2))

    assert "expiry 20 Mar 2026, " in own
    assert own.endswith("Good to the end of 20 Mar 2026: the maker's expiry.")
    assert "expiry 30 Apr 2026, " in of_its_lot
    assert of_its_lot.endswith("the end of 20 Mar 2026: an earlier date of its lot.")


def test_S5_what_was_poured_from_the_first_ends_with_it() -> None:
    talk = stocked()
    for said in ("POUR J1", "FILLED"):
        talk.sends(said, after=300)

    opens(talk, "J", "D4410", expires="260309")

    assert ends(talk, "B1") == ends(talk, "J1") == ends(talk, "J2")


@LETTERS
@pytest.mark.parametrize(("first", "then"), [("none", "D4417"), ("D4417", "none")])
def test_S5_where_a_lot_is_missing_two_expiries_tell_rather_that_they_are_two(
    letter: str, first: str, then: str
) -> None:
    talk = stocked(first)
    before = ends(talk, f"{letter}1")

    opens(talk, letter, then, expires="260309")

    assert ends(talk, f"{letter}1") == before


@LETTERS
def test_S5_what_is_out_of_use_in_any_case_is_given_no_date_anew(letter: str) -> None:
    talk = stocked()
    talk.let(ContainerCondemned("J1", "strip_failed"), ContainerDiscarded("S1"))

    heard = opens(talk, letter, "D4410", expires="260309")

    assert heard[0].startswith(f"Write on it: {letter}")


def test_S5_strips_that_fail_their_control_tell_the_expiry_of_their_lot_all_the_same() -> None:
    talk = stocked()

    talk.sends("OPEN S", after=20 * 60)
    for said in ("260309", "D4410"):
        talk.sends(said, after=20)
    talk.sends("unsure", after=600)

    assert ends(talk, "S1") == ends(talk, "S2")

"""S18: a lot is the same however somebody reads it off its label; common practice, no source."""

import pytest

from flows.parts.clinic import Fitness, bare_lot
from flows.parts.events import ContainerDiscarded, JugOpened, Recalled, StripBottleOpened
from tests.kit.talk import NINE, Talk, clinic


def recall(talk: Talk, what: str, product: str) -> None:
    talk.let(Recalled("r1", what, product, "D4410", "", "digest", NINE))


@pytest.mark.parametrize(
    "said", ["LOT D4410", "lot no D4410", "LOTD4410", "D441O", "d 44I0", "L D4410"]
)
def test_S18_a_recalled_lot_is_refused_however_it_is_read_off_the_label(said: str) -> None:
    talk = clinic(stocked=False)
    recall(talk, "lot", "opa_055")
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends(said, after=20)

    assert heard[0].startswith("Lot D4410 is recalled: do not take it into use.")
    assert talk.clinic.containers == {}


@pytest.mark.parametrize("said", ["LOT D4410", "D441O"])
def test_S18_so_are_strips(said: str) -> None:
    talk = clinic()
    recall(talk, "strip_lot", "opa_strip_1s_90s")
    talk.sends("OPEN STRIPS", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends(said, after=20)

    assert heard[0].startswith("Lot D4410 is recalled: do not take it into use.")
    assert set(talk.clinic.strips) == {"S1"}


def test_S18_a_lot_that_differs_in_any_other_letter_is_taken() -> None:
    talk = clinic(stocked=False)
    recall(talk, "lot", "opa_055")
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    talk.sends("E4410", after=20)

    assert [each.fitness for each in talk.clinic.containers.values()] == [Fitness.GOOD]


@pytest.mark.parametrize(
    ("printed", "read"),
    [
        ("D4417", "D44l7"),
        ("D4410", "d44Io"),
        ("L77", "77"),
        ("177", "l77"),
        ("177", "L177"),
        ("K2O8L", "K2081"),
        ("D-44 17", "lot no D4417"),
    ],
)
def test_S18_signs_that_look_alike_are_one_sign_in_a_lot(printed: str, read: str) -> None:
    assert bare_lot(printed) == bare_lot(read)


@pytest.mark.parametrize(("one", "other"), [("D4417", "D4471"), ("D4417", "4417"), ("77", "78")])
def test_S18_other_signs_make_another_lot(one: str, other: str) -> None:
    assert bare_lot(one) != bare_lot(other)


WAYS = pytest.mark.parametrize("command", ["OPEN", "OPEN STRIPS"])


def asked_for_its_lot(command: str) -> Talk:
    talk = clinic()
    talk.sends(command, after=20)
    talk.sends("270430", after=20)
    return talk


def opened(talk: Talk) -> list[str]:
    both = (*talk.happened(JugOpened), *talk.happened(StripBottleOpened))
    return [each.lot for each in both if each.tag in {"J2", "S2"}]


@WAYS
@pytest.mark.parametrize("said", ["D4410 thanks", "ok it is d441o", "D44l0", "lot D 4410 pls"])
def test_S18_a_kind_word_beside_a_lot_hides_no_recall(command: str, said: str) -> None:
    talk = asked_for_its_lot(command)
    recall(talk, *(("lot", "opa_055") if command == "OPEN" else ("strip_lot", "opa_strip_1s_90s")))

    heard = talk.sends(said, after=20)

    assert heard[0].startswith("Lot D4410 is recalled: do not take it into use.")


@WAYS
@pytest.mark.parametrize(
    ("said", "asked"),
    [
        (
            "not sure 77",
            (
                "Is 77 its lot, and all of it? Then reply LOT 77. Else send it alone, letters and "
                "figures only; NONE if it has none or cannot be read."
            ),
        ),
        (
            "no its 260430",
            (
                "Is 260430 its lot number? Then reply LOT 260430. Is it a date? Reply DATE, and "
                "I ask for the expiry again."
            ),
        ),
        (
            "20270300",
            (
                "Is 20270300 its lot number? Then reply LOT 20270300. Is it a date? Reply DATE, "
                "and I ask for the expiry again."
            ),
        ),
        (
            "D4417 exp 260430",
            (
                "Is its lot D4417? Then reply LOT D4417. And is 2026-04-30 its expiry, other "
                "than I noted? Reply DATE, and I ask for it again."
            ),
        ),
        (
            "T1",
            (
                "T1 is a name in use here, and no lot. The lot was printed by its maker: please "
                "send that; NONE if it has none or cannot be read."
            ),
        ),
        *(
            (
                said,
                (
                    "Its lot, 2 to 12 letters and figures? Of a longer one the last 12. Not "
                    "there, not readable: NONE. I noted expiry 30 Apr 2027; DATE if that is wrong."
                ),
            )
            for said in ("no lot", "n/a", "unknown", "12345678901234")
        ),
    ],
)
def test_S18_what_may_be_no_lot_is_asked_back_and_why(command: str, said: str, asked: str) -> None:
    talk = asked_for_its_lot(command)

    assert talk.sends(said, after=20) == [asked]
    assert opened(talk) == []


@WAYS
@pytest.mark.parametrize("said", ["270430 D4417", "D4417 exp 30/04/27", "D4417 27-04-30"])
def test_S5_the_expiry_that_was_noted_is_not_asked_about_beside_the_lot(
    command: str, said: str
) -> None:
    talk = asked_for_its_lot(command)

    (asked,) = talk.sends(said, after=20)

    assert asked.startswith("Is D4417 its lot, and all of it? Then reply LOT D4417.")


@WAYS
def test_S5_a_date_behind_the_word_date_goes_back_to_the_expiry(command: str) -> None:
    talk = asked_for_its_lot(command)

    (asked,) = talk.sends("DATE 260430", after=20)

    assert "its expiry date?" in asked


@WAYS
@pytest.mark.parametrize(("said", "noted"), [("ok D4417", "D4417"), ("none", "not noted")])
def test_S18_the_lot_as_it_was_read_stands_in_the_words_for_the_label(
    command: str, said: str, noted: str
) -> None:
    talk = asked_for_its_lot(command)
    talk.let(ContainerDiscarded("J1"), ContainerDiscarded("S1"))

    heard = talk.sends(said, after=20)

    assert f", lot {noted}, good to the end of " in heard[0]


def test_S18_of_what_was_mixed_a_word_beside_the_lot_is_asked_back() -> None:
    talk = clinic()
    talk.sends("MIX 2 L")

    (asked,) = talk.sends("mixed not sure 77", after=60)
    (label,) = talk.sends("mixed lot 77 please", after=20)

    assert asked == (
        "Mixed 2 L of 8 mL/L? Reply MIXED and its detergent lot alone: MIXED LOT L77; MIXED NONE "
        "if none can be read. Not mixing it: LATER."
    )
    assert ", lot 77, mixed " in label

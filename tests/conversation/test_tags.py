"""A tag as it stands on a label, with its check letter: typed with it, without it, or wrong."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.clinic import Fitness, Site
from flows.parts.encoding import decode, encode
from flows.parts.events import JugOpened, Poured, SiteOpened, StripDipped
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, Talk, clinic
from tests.rules.test_s18_recall import recall

T1 = labelled_tag("T1")
LETTER = T1[-1]
WRONG = "A" if LETTER != "A" else "B"
ASKED_BACK = (
    "The letter behind T1 is not the one on its label. Please read the label again and send it "
    "once more."
)


def test_the_label_bears_the_tag_with_its_check_letter() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")

    (text,) = talk.sends("poured", after=60)

    assert text.startswith(f"Write on it: {T1} OPA 0.55 %, lot L1, good to ")


@pytest.mark.parametrize("way", ["{tag}", "{tag}-{letter}", "{tag}{letter}", "{tag} {letter}"])
@pytest.mark.parametrize("case", [str.upper, str.lower])
def test_a_tag_is_typed_with_its_letter_or_without(way: str, case: type[str]) -> None:
    talk = clinic()

    heard = talk.sends(f"DISCARD {case(way.format(tag='T1', letter=LETTER))}")

    assert heard[0].startswith("T1 is noted as thrown away.")
    assert talk.clinic.containers["T1"].fitness is Fitness.DISCARDED


@pytest.mark.parametrize("command", ["DISCARD", "TEST", "STATE", "OPEN", "POUR"])
@pytest.mark.parametrize("tag", [f"T1-{WRONG}", f"t1{WRONG}", f"T1 {WRONG}"])
def test_a_wrong_letter_is_asked_back_and_changes_nothing(command: str, tag: str) -> None:
    talk = clinic()
    before = talk.clinic

    heard = talk.sends(f"{command} {tag}")

    assert heard == [ASKED_BACK]
    assert talk.clinic == before


def test_strips_have_one_too() -> None:
    talk = clinic()
    right = labelled_tag("S1")
    wrong = right[:-1] + ("A" if right[-1] != "A" else "B")

    assert talk.sends(f"DISCARD {wrong}")[0].startswith("The letter behind S1 is not")
    assert talk.sends(f"DISCARD {right}") == ["S1 is noted as thrown away."]


def test_a_strip_is_dipped_by_the_tag_on_the_label() -> None:
    talk = clinic()
    talk.sends("TEST T1")

    asked = talk.sends(f"dip T1-{WRONG}", after=20)
    before = talk.happened(StripDipped)
    talk.sends(f"dip {T1}", after=20)

    assert asked == [ASKED_BACK]
    assert before == []
    assert [each.container for each in talk.happened(StripDipped)] == ["T1"]


def test_a_bath_is_named_so_beside_its_temperature() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    asked = talk.sends(f"in T1{WRONG} 23 c", after=20)
    talk.sends(f"in {T1} 23 c", after=20)

    assert asked == [ASKED_BACK]
    assert talk.clinic.containers["T1"].in_use_by is not None


def test_a_unit_behind_a_bath_is_no_check_letter() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    talk.sends(f"in T1 {WRONG if WRONG == 'C' else 'c'} 23", after=20)

    assert talk.clinic.containers["T1"].in_use_by is not None


def test_a_lot_that_looks_like_a_label_is_a_lot() -> None:
    talk = clinic()
    talk.sends("OPEN")
    talk.sends("270331", after=20)

    talk.sends(f"T1{WRONG}", after=20)

    assert talk.happened(JugOpened)[-1].lot == f"T1{WRONG}"


def test_a_tag_that_nobody_knows_is_told_without_its_letter() -> None:
    (text,) = clinic().sends("DISCARD T9K")

    assert text.startswith("Not known here, so nothing is noted of it: T9. There are: T1, J1, B1")


@pytest.mark.parametrize("typed", ["J2-O", "J2-0", "j2-o", "J2O"])
def test_a_letter_that_looks_like_a_figure_is_taken_for_either(typed: str) -> None:
    talk = clinic()
    talk.sends("OPEN")
    for answer in ("270331", "L77"):
        talk.sends(answer, after=20)

    heard = talk.sends(f"DISCARD {typed}")

    assert heard[0].startswith("J2 is noted as thrown away.")


def test_a_figure_behind_a_tag_is_another_tag() -> None:
    talk = clinic()
    talk.sends("OPEN")
    for answer in ("270331", "L77"):
        talk.sends(answer, after=20)

    assert talk.sends("DISCARD J20")[0].startswith(
        "Not known here, so nothing is noted of it: J20."
    )


# -- a tag that has been given is not given again soon --------------------------------------------


def opens(talk: Talk, phone: str = "ph1") -> str:
    """A jug of another lot is opened: the tag that is to be written on it."""
    for said in ("OPEN", "270331", "L77"):
        talk.sends(said, phone=phone, after=20)
    return talk.happened(JugOpened)[-1].tag


def put_there(talk: Talk, tag: str) -> None:
    ends = NINE + timedelta(days=7)
    talk.let(JugOpened(tag, "opa_055", "L7", ends.date(), NINE, ends, "jug_open_life"))


def test_S18_a_tag_is_not_given_again_once_all_that_came_from_it_is_thrown_away() -> None:
    """Common practice, no source: what is said to be gone may still stand there, recalled."""
    talk = clinic()
    recall(talk)

    talk.sends("DISCARD T1 B1 J1", phone="ph9")

    assert "J1" not in talk.clinic.containers
    assert opens(talk) == "J2"


def test_S6_what_was_filled_from_a_jug_that_is_gone_is_not_of_the_next() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR J1")
    talk.sends("DISCARD B1 J1", phone="ph9")
    opens(talk, "ph9")

    (said, _) = talk.sends("FILLED", after=60)

    assert said.startswith("J1 is not for use any more, nor is what was poured from it.")
    assert [each.source for each in talk.happened(Poured)] == ["J1"]


def test_a_desk_that_enters_an_earlier_tag_sets_nothing_back() -> None:
    talk = clinic()
    put_there(talk, "J7")
    put_there(talk, "J3")
    talk.sends("DISCARD J7")

    assert opens(talk) == "J8"


def test_after_two_figures_the_numbers_begin_again_with_the_first_that_nothing_bears() -> None:
    talk = clinic()
    put_there(talk, "J99")
    talk.sends("DISCARD J99")

    assert opens(talk) == "J2"
    talk.sends("DISCARD J2")
    talk.wait(minutes=20)
    assert opens(talk) == "J3"


def test_a_site_that_is_opened_again_knows_the_tags_it_has_given() -> None:
    talk = clinic()
    put_there(talk, "J4")
    talk.let(SiteOpened("s1", "Etc/GMT-3", "18:00", "en", "dmy"))
    talk.sends("DISCARD J4")

    assert opens(talk) == "J5"


def test_S15_a_site_kept_before_tags_were_remembered_is_still_read() -> None:
    site = clinic().clinic.site
    assert site is not None
    kept = {key: value for key, value in encode(site).items() if key != "given"}

    assert decode(Site, kept) == replace(site, given=())

"""Check characters against ISO/IEC 7064:2003, by python-stdnum and by the standard's promises.

The standard's scope promises that its systems show all single substitutions, and all or nearly
all swaps of neighbours. Both are counted here over every case, not sampled: what a system can
miss depends on the running sum alone, so every running sum stands for every text before it.
"""

from itertools import product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from flows.calculations.check_code import (
    check_character,
    check_letter,
    code_problem,
    labelled_tag,
    release_code,
)

VALUES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@given(st.text(VALUES, min_size=1, max_size=20))
def test_the_check_character_is_the_one_the_reference_library_gives(body: str) -> None:
    assert mod_37_36.calc_check_digit(body) == check_character(body)


@pytest.mark.parametrize("body", ["A12425GABC1234002", "V1K7P"])
def test_the_reference_library_s_own_example_and_one_of_ours(body: str) -> None:
    """The first body, with its M, is the worked example in that library's documentation."""
    assert mod_37_36.validate(body + check_character(body))


@given(st.from_regex("[0-9A-Z]{1,8}", fullmatch=True), st.randoms(use_true_random=False))
def test_release_codes_are_valid_by_the_reference_library(label: str, chance: Random) -> None:
    code = release_code(label, chance.randrange)

    assert mod_37_36.is_valid(code.replace("-", ""))


PREFIXES = tuple(
    {check_character(body): body for body in map("".join, product(VALUES, VALUES))}.values()
)
"""One text before for each of the 36 values that the running sum can have."""


def test_every_running_sum_is_stood_for() -> None:
    assert len(PREFIXES) == 36


def test_every_single_wrong_character_shows() -> None:
    """Two texts that differ in one place never share their check character, whatever follows."""
    for before in PREFIXES:
        assert len({check_character(before + one) for one in VALUES}) == 36
    for after in VALUES:
        assert len({check_character(before + after) for before in PREFIXES}) == 36


def test_of_swapped_neighbours_one_pair_in_630_is_missed_at_each_running_sum() -> None:
    missed = [
        (before, one, other)
        for before in PREFIXES
        for at, one in enumerate(VALUES)
        for other in VALUES[at + 1 :]
        if check_character(before + one + other) == check_character(before + other + one)
    ]

    neighbours = {VALUES[at : at + 2] for at in range(35)} | {"0Z"}
    assert [before for before, _, _ in missed] == list(PREFIXES)
    assert {one + other for _, one, other in missed} == neighbours


def test_a_swap_with_the_check_character_is_missed_for_0_and_1_alone() -> None:
    missed = [
        last + check
        for before in PREFIXES
        for last in VALUES
        if (check := check_character(before + last)) != last
        and check_character(before + check) == last
    ]

    assert set(missed) == {"01", "10"}


def test_every_misreading_of_a_release_code_shows() -> None:
    code = release_code("V1", lambda below: below // 2)
    plain = code.replace("-", "")

    wrong = [
        plain[:at] + other + plain[at + 1 :]
        for at in range(len(plain))
        for other in VALUES
        if other != plain[at]
    ]

    assert len(wrong) == 6 * 35
    assert None not in {code_problem(text) for text in wrong}


# -- tags of containers: MOD 27,26, whose check character is a letter -----------------------------

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
TAGS = tuple(f"{letter}{number}" for letter in "JBTSM" for number in range(1, 200))


def spelt(tag: str) -> str:
    """Figures as the letters A to J: the system of letters alone knows no figures."""
    return "".join(LETTERS[int(each)] if each.isdecimal() else each for each in tag)


@pytest.mark.parametrize("tag", ["T1", "J12", "S99", "B100"])
def test_the_check_letter_is_the_one_the_reference_library_gives(tag: str) -> None:
    """The alphabet is handed in: MOD 27,26 is the same hybrid system over letters."""
    assert mod_37_36.calc_check_digit(spelt(tag), LETTERS) == check_letter(tag)


def test_every_check_letter_is_the_one_the_reference_library_gives() -> None:
    theirs = [mod_37_36.calc_check_digit(spelt(tag), LETTERS) for tag in TAGS]

    assert theirs == [check_letter(tag) for tag in TAGS]


def test_no_label_is_another_label_with_one_character_mistaken() -> None:
    """T1 read as T7, B1 as J1: the letter behind no longer fits."""
    labels = {labelled_tag(tag): tag for tag in TAGS}

    assert len(labels) == len(TAGS)
    for label in labels:
        for at, alphabet in enumerate(["JBTSM", *["0123456789"] * (len(label) - 3)]):
            slips = {label[:at] + other + label[at + 1 :] for other in alphabet} - {label}
            assert slips.isdisjoint(labels)

"""Release codes: readable, forgiving to type, and telling when mistyped."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.calculations.check_code import (
    ALPHABET,
    check_character,
    code_problem,
    label_of,
    release_code,
)

LABELS = st.from_regex("[0-9A-Z]{1,8}", fullmatch=True)


def drawn(*numbers: int) -> Callable[[int], int]:
    """Return a drawing whose numbers are known, each brought below what is asked for."""
    left = iter(numbers)
    return lambda below: next(left) % below


@pytest.mark.parametrize("label", ["V1", "V12", "0", "PROBE007"])
def test_a_code_is_label_hyphen_three_drawn_and_one_check_character(label: str) -> None:
    code = release_code(label, drawn(0, 19, 2))

    name, tail = code.split("-")
    assert label == name
    assert tail[:2] == ALPHABET[0] + ALPHABET[19]
    assert tail[3] == check_character(name + tail[:3])


@given(LABELS, st.randoms(use_true_random=False).map(lambda chance: chance.randrange))
def test_every_code_passes_its_own_check_and_names_its_label(
    label: str, draw: Callable[[int], int]
) -> None:
    code = release_code(label, draw)

    assert code_problem(code) is None
    assert label == label_of(code)
    assert set(code[-4:]) <= set(ALPHABET)


@given(LABELS, st.integers(0, 19), st.integers(0, 19))
def test_at_least_four_third_characters_are_always_left_to_draw(
    label: str, first: int, second: int
) -> None:
    asked = []

    def draw(below: int) -> int:
        asked.append(below)
        return (first, second, 0)[len(asked) - 1]

    release_code(label, draw)

    assert asked[:2] == [20, 20]
    assert 4 <= asked[2] <= 20


def test_the_draw_decides_the_code() -> None:
    codes = {
        release_code("V1", drawn(a, b, c)) for a in range(20) for b in range(20) for c in (0, 3)
    }

    assert len(codes) == 20 * 20 * 2


def test_no_character_is_read_for_another_and_no_tag_spells_a_word() -> None:
    """Pairs that hands and wet paper blur: common practice, no source."""
    look_alike = ("0OQ", "1IL", "2Z", "5S", "8B", "UV")

    assert not set("".join(look_alike) + "AEIOU") & set(ALPHABET)
    assert len(set(ALPHABET)) == len(ALPHABET) == 20


def test_a_label_in_small_letters_becomes_capitals() -> None:
    assert release_code("v1", drawn(0, 0, 0)).startswith("V1-")


@pytest.mark.parametrize("label", ["", "V-1", "V 1", "PROBE0001", "\u00c9"])
def test_a_label_that_no_code_can_bear_is_refused(label: str) -> None:
    with pytest.raises(ValueError, match="is no device label; give 1 to 8 letters and digits"):
        release_code(label, drawn(0, 0, 0))


@pytest.mark.parametrize("way", ["{0}", "{1}", " {0} ", "{2}", "{0}.", "({0})", "{3}", "{4}"])
def test_case_spaces_points_and_the_hyphen_are_forgiven(way: str) -> None:
    code = release_code("V1", drawn(3, 5, 1))
    plain = code.replace("-", "")
    typed = way.format(code, code.lower(), plain, " ".join(plain), code.replace("-", "\u2013"))

    assert code_problem(typed) is None
    assert label_of(typed) == "V1"


@pytest.mark.parametrize(
    "text", ["", "V1", "V1-", "V1-K7P", "V1-K7PO", "K7P4", "V1-K7P4!", "\u0664"]
)
def test_what_has_not_the_form_of_a_code_is_malformed(text: str) -> None:
    assert code_problem(text) == "malformed"
    assert label_of(text) == ""


def test_a_code_with_another_check_character_is_not_that_code() -> None:
    code = release_code("V1", drawn(3, 5, 1))
    others = [code[:-1] + other for other in ALPHABET if other != code[-1]]

    assert {"check"} == {code_problem(other) for other in others}
    assert {""} == {label_of(other) for other in others}


@given(st.text(max_size=20))
def test_no_text_is_an_exception(text: str) -> None:
    assert code_problem(text) in {None, "malformed", "check"}
    assert bool(label_of(text)) == (code_problem(text) is None)

"""S16: patient codes only."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.patient_code import PatientCode, codes_told, patient_code, patient_codes
from flows.replies.typed import tidy
from tests.replies.as_typed import CODES


@pytest.mark.parametrize(("raw", "expected"), CODES)
def test_S16_codes_as_typed(raw: str, expected: tuple[str, ...] | str) -> None:
    read = patient_codes(tidy(raw))

    if isinstance(read, NotUnderstood):
        assert expected == read.hint
    else:
        assert expected == tuple(code.code for code in read)


def test_S16_two_numbers_are_two_patients_and_never_one_code() -> None:
    assert patient_code(("0412", "0413")) == NotUnderstood("name")
    assert patient_code(("0412",)) == PatientCode("0412")
    assert patient_code(()) == NotUnderstood("empty")


@pytest.mark.parametrize(
    "behind", ["it", "am", "pm", "dr", "by", "at", "it fell", "Dr Banda", "T1 leaks"]
)
def test_S16_a_word_behind_the_code_is_no_part_of_it(behind: str) -> None:
    assert codes_told(tidy(f"0412 {behind}")) == (PatientCode("0412"),)


@pytest.mark.parametrize("behind", ["b", "F", "xx", "b ward", "no", "1", "13"])
def test_S16_letters_apart_that_may_be_of_the_code_are_asked_about(behind: str) -> None:
    assert codes_told(tidy(f"0412 {behind}")) == NotUnderstood("name")


@pytest.mark.parametrize(
    "said",
    ["0412 thanks", "code 0412", "patient code: 0412", "# 0412", "it is 0412 please", "on 0412"],
)
def test_S16_what_is_said_around_the_code_is_no_part_of_it(said: str) -> None:
    assert patient_codes(tidy(said)) == (PatientCode("0412"),)


@given(st.text(st.characters(categories=["L"]), min_size=3, max_size=12))
def test_S16_a_name_is_never_taken_for_a_code(name: str) -> None:
    assert isinstance(patient_codes(tidy(name)), NotUnderstood)


@given(st.from_regex("[0-9]{3,8}[A-Z]{0,2}", fullmatch=True))
def test_S16_every_code_is_read_as_it_stands(code: str) -> None:
    assert PatientCode(code) == patient_code(tidy(code.lower()).words)

"""S16: patient codes only."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.replies import NotUnderstood
from flows.replies.patient_code import PatientCode, patient_code, patient_codes
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


@given(st.text(st.characters(categories=["L"]), min_size=3, max_size=12))
def test_S16_a_name_is_never_taken_for_a_code(name: str) -> None:
    assert isinstance(patient_codes(tidy(name)), NotUnderstood)


@given(st.from_regex("[0-9]{3,8}[A-Z]{0,2}", fullmatch=True))
def test_S16_every_code_is_read_as_it_stands(code: str) -> None:
    assert PatientCode(code) == patient_code(tidy(code.lower()).words)

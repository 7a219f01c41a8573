"""S14: number and PIN are read at the head of a line, and kept nowhere."""

import pytest

from flows.replies.number_and_pin import masked_but_code, masked_pair, number_and_pin


@pytest.mark.parametrize(
    ("line", "rest"),
    [
        *(("4 271828 CLEAN V1", "CLEAN V1"), ("4 271828", ""), ("4-271828. is V1 ready?", None)),
        *(("pin 4 271828", ""), ("number 4, pin is 271828: V1 OUT", "V1 OUT")),
        ("hello, no. 4 pin: 271828 ok", "OK"),
    ],
)
def test_S14_number_and_pin_are_read_at_the_head(line: str, rest: str | None) -> None:
    said = number_and_pin(line)

    assert said is not None
    both, behind = said
    assert (both[1], both[2]) == ("4", "271828")
    assert behind == ("IS V1 READY?" if rest is None else rest)


@pytest.mark.parametrize(
    "line",
    [
        *("4 2500 ml", "5% 1000", "V1 4 271828", "4 2718281", "4 271828x", "271828"),
        *("", "4", "270331 D4417", "4 2718/28"),
    ],
)
def test_S14_a_volume_a_lot_and_a_strength_are_none(line: str) -> None:
    assert number_and_pin(line) is None


@pytest.mark.parametrize(
    ("body", "kept"),
    [
        *(("USED V1 0412", "USED V1 0412"), ("USED V1 0412 4 271828", "USED V1 0412 4 ****")),
        *(("CLEAN V1 pin: 271828", "CLEAN V1 pin: ****"), ("OPEN 270331 lot 44170", None)),
        ("clean v1 4 27\u200b1828", "CLEAN V1 4 ****"),
    ],
)
def test_S14_beside_codes_and_lots_only_number_and_pin_are_masked(
    body: str, kept: str | None
) -> None:
    assert masked_pair(body) == (body if kept is None else kept)


@pytest.mark.parametrize(
    ("body", "kept"),
    [
        *(("USED V1 0412", "USED V1 0412"), ("used v1-mg7n 0412", "USED V1-MG7N 0412")),
        *(("USED V1 0412 0413", "USED V1 0412 ****"), ("FAULT V1 0412", "FAULT V1 ****")),
        *(("V1 271828", "V1 ****"), ("USED V1 4 271828", "USED V1 4 ****")),
    ],
)
def test_S14_of_nobody_the_one_code_behind_USED_is_kept(body: str, kept: str) -> None:
    assert masked_but_code(body, "USED", ["V1", "V2"]) == kept


def test_S14_where_no_device_is_there_nothing_is_kept() -> None:
    assert masked_but_code("USED V1 0412", "USED", []) == "USED V1 ****"

"""No file or function grows past what one reading can hold."""

from collections.abc import Callable
from pathlib import Path
from statistics import median, quantiles

import pytest

from tests.house.tree import ROOT, SOURCE_ROOMS, functions, modules

LONGEST_FILE = 400
LONGEST_TEST_FILE = 500
LONGEST_FUNCTION = 60
USUAL_FILE = 120
"""Half of all files are at most this long."""
USUAL_FUNCTION = 8
"""Half of all functions are at most this long, docstring apart."""
ALMOST_EVERY_FUNCTION = 25
"""Nine in ten are at most this long."""


def is_list_of_tables(path: Path) -> bool:
    """A migration is as long as its tables are many, and nobody edits it again."""
    return "versions" in path.parts


def source_of(root: Path) -> list[Path]:
    return [path for path in modules(root, *SOURCE_ROOMS) if not is_list_of_tables(path)]


def file_lengths(paths: list[Path]) -> dict[Path, int]:
    return {path: len(path.read_text(encoding="utf-8").splitlines()) for path in paths}


def too_long_files(root: Path) -> list[str]:
    source = file_lengths(modules(root, *SOURCE_ROOMS)).items()
    tests = file_lengths(modules(root, "tests")).items()
    return [
        f"{path.relative_to(root)}: {lines} lines"
        for held, most in ((source, LONGEST_FILE), (tests, LONGEST_TEST_FILE))
        for path, lines in held
        if lines > most
    ]


def too_long_functions(root: Path) -> list[str]:
    return [
        f"{path.relative_to(root)}:{function.line}: {function.name}, {function.length} lines"
        for path in [*source_of(root), *modules(root, "tests")]
        for function in functions(path)
        if function.length > LONGEST_FUNCTION
    ]


def function_lengths(root: Path) -> list[int]:
    return [function.length for path in source_of(root) for function in functions(path)]


def test_no_file_is_longer_than_one_subject_needs() -> None:
    assert too_long_files(ROOT) == []


def test_no_function_is_longer_than_a_screen() -> None:
    assert too_long_functions(ROOT) == []


def test_half_of_all_files_are_short() -> None:
    lengths = list(file_lengths(source_of(ROOT)).values())

    assert median(lengths or [0]) <= USUAL_FILE


def test_half_of_all_functions_are_short_and_nearly_all_of_middling_length() -> None:
    lengths = [0, *function_lengths(ROOT), 0]

    assert median(lengths) <= USUAL_FUNCTION
    assert quantiles(lengths, n=10)[-1] <= ALMOST_EVERY_FUNCTION


@pytest.mark.parametrize(
    ("room", "lines", "finds", "found"),
    [
        ("flows", LONGEST_FILE, too_long_files, 0),
        ("flows", LONGEST_FILE + 1, too_long_files, 1),
        ("tests", LONGEST_TEST_FILE, too_long_files, 0),
        ("tests", LONGEST_TEST_FILE + 1, too_long_files, 1),
        ("bot", LONGEST_FUNCTION, too_long_functions, 0),
        ("bot", LONGEST_FUNCTION + 1, too_long_functions, 1),
    ],
)
def test_one_line_too_many_is_found(
    tmp_path: Path, room: str, lines: int, finds: Callable[[Path], list[str]], found: int
) -> None:
    planted = tmp_path / room / "planted.py"
    planted.parent.mkdir()
    planted.write_text("def grow() -> None:\n" + "    x = 1\n" * (lines - 1), encoding="utf-8")

    problems = finds(tmp_path)

    assert len(problems) == found


def test_a_docstring_does_not_count_against_its_function(tmp_path: Path) -> None:
    planted = tmp_path / "planted.py"
    planted.write_text('def one() -> int:\n    """Said.\n\n    More.\n    """\n    return 1\n')

    lengths = [function.length for function in functions(planted)]

    assert lengths == [2]

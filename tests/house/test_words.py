"""No trace of the place where this was written, and nothing put off without a reason."""

import re
from pathlib import Path

import pytest

from tests.house.tree import ROOT, files

FORBIDDEN = {
    # Written with classes and breaks, so that this file may itself be searched.
    "a path of one machine": r"(?<![\w.:/~-])/(?:home|root|Users|workspace|work|mnt|srv)/[\w.]",
    "a registry's address": r"(?:pypi|pythonhosted|npmjs|debian)[.](?:org|com)\b|-index[-]url",
    "a hash of a download": r"--hash[=]|sha256[:][0-9a-f]{8}",
    "a postponement without its reason": r"\b(?:TO[D]O|FIX[M]E|X[X]X|HA[C]K)\b(?!: \w+ \w+ \w+)",
}


def forbidden_words(root: Path) -> list[str]:
    return [
        f"{path.relative_to(root)}:{number}: {what}"
        for path in files(root)
        for number, line in enumerate(path.read_text("utf-8", "replace").splitlines(), start=1)
        for what, pattern in FORBIDDEN.items()
        if re.search(pattern, line)
    ]


def test_nothing_in_the_tree_points_to_the_place_where_it_was_written() -> None:
    assert forbidden_words(ROOT) == []


@pytest.mark.parametrize(
    "line",
    [
        "see /" + "home/ann/notes.txt",
        "open('/" + "work/main/x')",
        "pip install --extra-index" + "-url x",
        "https://files.pythonhosted" + ".org/packages",
        "# TO" + "DO",
        "# TO" + "DO: later",
        "# FIX" + "ME mend it",
    ],
)
def test_a_forbidden_word_is_found(tmp_path: Path, line: str) -> None:
    (tmp_path / "README.md").write_text(f"all well\n{line}\n")

    assert [found.split(": ")[0] for found in forbidden_words(tmp_path)] == ["README.md:2"]


@pytest.mark.parametrize(
    "line",
    [
        "# TO" + "DO: the second site needs its own chain",
        "https://bot.example.org/work/orders",
        "route '/sms/inbound'",
        "bot/store/tables.py",
    ],
)
def test_an_innocent_line_is_let_be(tmp_path: Path, line: str) -> None:
    (tmp_path / "README.md").write_text(f"{line}\n")

    assert forbidden_words(tmp_path) == []

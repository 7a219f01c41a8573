"""No drawer for strangers: a file or function whose name says nothing has lost its noun."""

from pathlib import Path

import pytest

from tests.house.tree import ROOT, SOURCE_ROOMS, functions, modules

SAY_NOTHING = {
    "util",
    "utils",
    "helper",
    "helpers",
    "manager",
    "common",
    "misc",
    "base",
    "data",
    "info",
    "process",
    "handle",
}
TOP_LEVEL = frozenset(
    ("README.md", "DEVELOPERS.md", "pyproject.toml", "bot", "flows", "tests", "demo_data")
)


def empty_names(root: Path) -> list[str]:
    held = modules(root, *SOURCE_ROOMS, "tests")
    of_files = [
        str(path.relative_to(root))
        for path in held
        if SAY_NOTHING & {path.stem, path.parent.name.lower()}
    ]
    of_functions = [
        f"{path.relative_to(root)}:{function.line}: {function.name}"
        for path in held
        for function in functions(path)
        if function.name.strip("_") in SAY_NOTHING
    ]
    return of_files + of_functions


def test_every_name_says_something() -> None:
    assert empty_names(ROOT) == []


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("bot/utils.py", ""),
        ("flows/common/soak.py", ""),
        ("bot/inbox.py", "def handle(): ...\n"),
        ("bot/inbox.py", "class Inbox:\n    def _process(self): ...\n"),
    ],
)
def test_a_name_that_says_nothing_is_found(tmp_path: Path, file: str, text: str) -> None:
    planted = tmp_path / file
    planted.parent.mkdir(parents=True)
    planted.write_text(text)

    assert len(empty_names(tmp_path)) == 1


def test_the_top_level_holds_what_it_may_hold_and_nothing_else() -> None:
    left_by_tools = {"build", "dist", "htmlcov"}
    held = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    assert held - TOP_LEVEL - left_by_tools == set()

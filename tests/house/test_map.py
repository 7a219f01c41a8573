"""The map in DEVELOPERS.md is what the files themselves say."""

from pathlib import Path

import pytest

from tests.house.map import BEGINS, ENDS, drawn, placed
from tests.house.tree import ROOT


def test_the_map_is_drawn_from_the_tree_as_it_stands() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

    as_drawn_today = placed(page, drawn(ROOT))

    assert as_drawn_today == page, "redraw it: python -m tests.house.map"


def test_a_room_stands_with_its_line_its_files_and_its_data(tmp_path: Path) -> None:
    for name, text in {
        "flows/__init__.py": '"""What a flow is."""\n',
        "flows/words.py": '"""One table.\n\nMore."""\n',
        "flows/protocols/__init__.py": '"""Shipped protocols."""\n',
        "flows/protocols/strips/plain.toml": "",
        "tests/__init__.py": '"""Promises."""\n',
        "tests/rules/__init__.py": '"""One file a rule."""\n',
        "tests/rules/test_soak.py": '"""S2."""\n',
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)

    assert drawn(tmp_path).splitlines() == [
        "```text",
        "flows/                      What a flow is.",
        "  words.py                  One table.",
        "  protocols/                Shipped protocols.",
        "    strips/                 *.toml",
        "tests/                      Promises.",
        "  rules/                    One file a rule.",
        "```",
    ]


def test_only_what_stands_between_the_marks_is_redrawn() -> None:
    page = f"before\n{BEGINS}\nold\n{ENDS}\nafter\n"

    assert placed(page, "new") == f"before\n{BEGINS}\nnew\n{ENDS}\nafter\n"


def test_a_page_without_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="unpack"):
        placed("no marks here\n", "new")

"""Draws the map in DEVELOPERS.md from first docstring lines: `python -m tests.house.map`."""

from collections.abc import Iterator
from pathlib import Path

from tests.house.tree import ROOT, SOURCE_ROOMS, files, first_line

BEGINS = "<!-- map: drawn by `python -m tests.house.map`, compared by a test; do not edit -->"
ENDS = "<!-- end of map -->"
WORDS_BEGIN_AT = 28
"""Column of the first word, so that the eye runs down one edge."""


def drawn(root: Path) -> str:
    """Rooms that hold code, a line a file; the tests, a line a room."""
    lines = [line for room in SOURCE_ROOMS for line in _room(root / room, 0)]
    lines += _room(root / "tests", 0, depth=1)
    return "\n".join(["```text", *lines, "```"])


def _room(folder: Path, level: int, depth: int | None = None) -> Iterator[str]:
    """A folder, its files, then its rooms; below `depth` levels a room is one line."""
    held = list(files(folder)) if folder.is_dir() else []
    if not held:
        return
    code = folder / "__init__.py"
    yield _line(level, f"{folder.name}/", first_line(code) if code.is_file() else _kinds(held))
    if depth == 0:
        return
    for path in held:
        if path.parent == folder and path.suffix == ".py" and path != code:
            yield _line(level + 1, path.name, first_line(path))
    for below in sorted(
        {path.relative_to(folder).parts[0] for path in held if path.parent != folder}
    ):
        yield from _room(folder / below, level + 1, None if depth is None else depth - 1)


def _kinds(held: list[Path]) -> str:
    return " ".join(sorted({f"*{path.suffix}" for path in held}))


def _line(level: int, name: str, words: str) -> str:
    return f"{'  ' * level + name:<{WORDS_BEGIN_AT - 1}} {words}".rstrip()


def placed(page: str, new: str) -> str:
    """The page with `new` between the marks; ValueError where they do not stand exactly once."""
    before, rest = page.split(f"{BEGINS}\n")
    _, after = rest.split(f"{ENDS}\n")
    return f"{before}{BEGINS}\n{new}\n{ENDS}\n{after}"


if __name__ == "__main__":
    developers = ROOT / "DEVELOPERS.md"
    developers.write_text(
        placed(developers.read_text(encoding="utf-8"), drawn(ROOT)), encoding="utf-8"
    )

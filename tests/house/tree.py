"""What stands in the tree: its files, its modules, their functions and first lines."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
SOURCE_ROOMS = ("flows", "bot", "demo_data")
DOT_FOLDERS = (".ci",)
"""The only dot-folders that are the project's own; the rest is git's, caches and environments."""
LEFT_BY_TOOLS = ("__pycache__", "build", "dist", "htmlcov")

FUNCTION_NODES = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True)
class Function:
    name: str
    line: int
    length: int
    docstring: str | None
    is_top_level: bool


def files(root: Path) -> Iterator[Path]:
    """Every file of the project below `root`, in order; nothing that a tool left there."""
    for path in sorted(root.iterdir()):
        if path.is_file():
            if not path.name.startswith(".coverage"):
                yield path
        elif path.name in DOT_FOLDERS or not _is_foreign(path):
            yield from files(path)


def _is_foreign(folder: Path) -> bool:
    return folder.name.startswith(".") or folder.name in LEFT_BY_TOOLS


def modules(root: Path, *rooms: str) -> list[Path]:
    """The Python files of these rooms; a room that does not stand yet has none."""
    standing = [root / room for room in rooms if (root / room).is_dir()]
    return [path for room in standing for path in files(room) if path.suffix == ".py"]


def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def functions(path: Path) -> list[Function]:
    """Every function and method of a module, nested ones too."""
    module = parsed(path)
    return [
        Function(
            name=node.name,
            line=node.lineno,
            length=_length(node),
            docstring=ast.get_docstring(node),
            is_top_level=node in module.body,
        )
        for node in ast.walk(module)
        if isinstance(node, FUNCTION_NODES)
    ]


def _length(node: FUNCTION_NODES) -> int:
    """Lines from `def` to the end, docstring apart."""
    whole = (node.end_lineno or node.lineno) - node.lineno + 1
    if ast.get_docstring(node) is None:
        return whole
    said = node.body[0]
    return whole - ((said.end_lineno or said.lineno) - said.lineno + 1)


def first_line(path: Path) -> str:
    """The first line of a module's docstring; empty where it says nothing."""
    lines = (ast.get_docstring(parsed(path)) or "").splitlines()
    return lines[0] if lines else ""

"""A module -> its mutants, in order: each the same code with one thing wrong."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

from tests.bench.mutate.operators import OPERATORS
from tests.house.tree import ROOT

LONGEST_WORDS = 160
"""A mutation is told in one line."""

Place = tuple[ast.AST, str, int | None]
"""The parent, its field, and where in that field if it is a list."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a node stands: its statement's lines, the function around it, what they say."""

    module: str
    within: str
    lines: range
    line: int
    text: str
    at_import: bool


@dataclass(frozen=True, slots=True)
class Mutant:
    spot: Spot
    mutation: str
    code: CodeType

    @property
    def told(self) -> str:
        return f"{self.spot.module}:{self.spot.line} {self.mutation}"


def mutants_of(module: str) -> Iterator[Mutant]:
    """Every mutant of a module, given by its path from the root; from top to bottom."""
    source = (ROOT / module).read_text(encoding="utf-8")
    tree = ast.parse(source, filename=module)
    for spot, place, node in list(_nodes(tree, Spot(module, "", range(0), 0, "", at_import=True))):
        text = source.splitlines()[spot.line - 1].strip()
        there = Spot(module, spot.within, spot.lines, spot.line, text, spot.at_import)
        for operator in OPERATORS:
            for other in operator(node):
                mutation = f"{operator.__name__}: {_words(node)} -> {_words(other)}"
                yield Mutant(there, mutation, _compiled(tree, place, node, other))


def _nodes(parent: ast.AST, around: Spot) -> Iterator[tuple[Spot, Place, ast.AST]]:
    """Every node that does something, with its place; no docstring, no type, no import."""
    for field, held in ast.iter_fields(parent):
        if field in {"annotation", "returns"}:
            continue
        for at, node in enumerate(held if isinstance(held, list) else [held]):
            if not isinstance(node, ast.AST) or _says_only(node):
                continue
            spot = _spot(node, around)
            yield spot, (parent, field, at if isinstance(held, list) else None), node
            yield from _nodes(node, _inside(node, spot))


def _says_only(node: ast.AST) -> bool:
    is_words = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    return is_words or isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr)


def _spot(node: ast.AST, around: Spot) -> Spot:
    line = getattr(node, "lineno", around.line)
    lines = around.lines
    if isinstance(node, ast.stmt):
        lines = range(node.lineno, (node.end_lineno or node.lineno) + 1)
    return Spot(around.module, around.within, lines, line, "", around.at_import)


def _inside(node: ast.AST, spot: Spot) -> Spot:
    """What stands in a function is reached by calling it, all else by importing."""
    if not isinstance(node, ast.FunctionDef | ast.ClassDef):
        return spot
    within = f"{spot.within}.{node.name}".strip(".")
    at_import = spot.at_import and isinstance(node, ast.ClassDef)
    return Spot(spot.module, within, spot.lines, spot.line, "", at_import)


def _compiled(tree: ast.Module, place: Place, node: ast.AST, other: ast.AST) -> CodeType:
    _put(place, ast.fix_missing_locations(ast.copy_location(other, node)))
    try:
        return compile(tree, "<mutant>", "exec")
    finally:
        _put(place, node)


def _put(place: Place, node: ast.AST) -> None:
    parent, field, at = place
    if at is None:
        setattr(parent, field, node)
    else:
        getattr(parent, field)[at] = node


def _words(node: ast.AST) -> str:
    if isinstance(node, ast.comprehension):
        kept = [ast.unparse(each) for each in node.ifs]
        return f"for {ast.unparse(node.target)} if {kept}"
    written = ast.unparse(node)
    words = written.splitlines()[0] if isinstance(node, ast.If | ast.While) else written
    words = " ".join(words.split())
    return words if len(words) <= LONGEST_WORDS else f"{words[:LONGEST_WORDS]}..."


def path_of(module: str) -> str:
    """A path from the root, for 'flows.rules.soak' or the path; ValueError if it is not there."""
    path = Path(module if module.endswith(".py") else f"{module.replace('.', '/')}.py")
    if not (ROOT / path).is_file():
        raise ValueError(f"There is no {path} to break; name a module such as flows.rules.soak.")
    return path.as_posix()

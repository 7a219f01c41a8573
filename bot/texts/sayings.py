"""Every `say(` call of the product, read from the source without running it.

It is found by that name alone; a house test sees to it that nobody imports it under another.
"""

import ast
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROOMS = ("flows", "bot")


@dataclass(frozen=True, slots=True)
class Saying:
    """One call of `say`."""

    slug: str
    english: str
    given: frozenset[str] | None
    """The placeholders it fills in; None where they come in a mapping and cannot be read."""
    file: str
    line: int


def sayings(root: Path = ROOT) -> tuple[Saying, ...]:
    """Read all calls, in the order of their slugs.

    Raises ValueError, all faults at once, for a slug or an English that is not written out in
    the call, and for a slug with two Englishes: no catalogue could hold these.
    """
    found: list[Saying] = []
    faults: list[str] = []
    for file, call in _calls(root):
        saying = _read(file, call)
        if saying is None:
            faults.append(f"{file}:{call.lineno}: write slug and English out in the call of say.")
        else:
            found.append(saying)
    faults += _two_englishes(found)
    if faults:
        raise ValueError("\n".join(faults))
    return tuple(sorted(found, key=lambda saying: (saying.slug, saying.file, saying.line)))


def _calls(root: Path) -> Iterator[tuple[str, ast.Call]]:
    for path in (path for room in ROOMS for path in sorted((root / room).rglob("*.py"))):
        file = path.relative_to(root).as_posix()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"), filename=file)):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "say":
                yield file, node


def _read(file: str, call: ast.Call) -> Saying | None:
    match call.args:
        case [ast.Constant(value=str() as slug), ast.Constant(value=str() as english)]:
            names = [keyword.arg for keyword in call.keywords]
            given = frozenset(name for name in names if name is not None)
            return Saying(slug, english, None if None in names else given, file, call.lineno)
    return None


def _two_englishes(found: Sequence[Saying]) -> Iterator[str]:
    first: dict[str, Saying] = {}
    for saying in found:
        known = first.setdefault(saying.slug, saying)
        if known.english != saying.english:
            yield (
                f"{saying.file}:{saying.line}: {saying.slug} already says something else in"
                f" {known.file}:{known.line}; give one of the two a slug of its own."
            )

"""Which tests reach which line: all of them are run once, and watched."""

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import coverage
import pytest

from tests.bench.mutate.mutants import Spot
from tests.bench.mutate.trial import ALONE, in_a_child
from tests.house.tree import ROOT

ROOMS = ("tests/rules", "tests/calculations")
CONVERSATIONS = "tests/conversation"
TOO_LONG = ("test_walk_", "test_stateful_", "test_found_at_random")
"""These walk every path: they would kill nearly anything, at minutes a mutant."""

FIRST_FEW = 25
"""Most mutants are killed by the tests that reach the least besides."""


@dataclass(frozen=True, slots=True)
class Reach:
    """By module and line the tests that reach it; all tests, those that reach the least first."""

    tests: tuple[str, ...]
    lines: dict[str, dict[int, frozenset[str]]]
    loaded: tuple[str, ...]
    """Every module that the tests load, in that order."""

    def rounds(self, spot: Spot) -> Iterator[tuple[str, ...]]:
        """The tests to try a mutant on, a few at first; of what runs at import, in the end all."""
        held = self.lines[spot.module]
        lines = held if spot.at_import and spot.within == "" else spot.lines
        reaching = frozenset().union(*(held.get(line, frozenset()) for line in lines))
        chosen = tuple(test for test in self.tests if test in reaching)
        yield chosen[:FIRST_FEW]
        yield chosen[FIRST_FEW:]
        if spot.at_import:
            yield tuple(test for test in self.tests if test not in reaching)


def measured(modules: list[str]) -> Reach:
    """Runs the tests once; a RuntimeError where one fails before anything is broken."""
    with TemporaryDirectory() as room:
        kept = Path(room) / "reach.json"
        in_a_child(lambda: _watch(modules, kept), seconds=600)
        seen = json.loads(kept.read_text(encoding="utf-8"))
    if seen["failed"]:
        raise RuntimeError(f"Fails before anything is broken: {', '.join(seen['failed'])}")
    lines = {
        module: {int(line): frozenset(tests) for line, tests in held.items()}
        for module, held in seen["lines"].items()
    }
    return Reach(tuple(seen["tests"]), lines, tuple(seen["loaded"]))


def _watch(modules: list[str], kept: Path) -> int:
    watching = coverage.Coverage(data_file=None, config_file=False, source=["flows"])
    tests = _Tests(watching)
    watching.start()
    code = pytest.main([*ALONE, *_files()], plugins=[tests])
    watching.stop()
    seen = _seen(watching.get_data(), modules, tests.names)
    seen |= {"failed": tests.failed, "loaded": list(sys.modules)}
    kept.write_text(json.dumps(seen), encoding="utf-8")
    return int(code)


def _seen(found: coverage.CoverageData, modules: list[str], tests: list[str]) -> dict[str, object]:
    breadth = dict.fromkeys(tests, 0)
    for path in found.measured_files():
        for names in found.contexts_by_lineno(path).values():
            for name in names:
                breadth[name] = breadth.get(name, 0) + 1
    return {
        "tests": sorted(tests, key=lambda test: (breadth[test], test)),
        "lines": {module: found.contexts_by_lineno(str(ROOT / module)) for module in modules},
    }


class _Tests:
    """Tells the measurement which test runs, and keeps the names of all."""

    def __init__(self, watching: coverage.Coverage) -> None:
        self.watching = watching
        self.names: list[str] = []
        self.failed: list[str] = []

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.names.append(nodeid)
        self.watching.switch_context(nodeid)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.append(report.nodeid)

    def pytest_runtest_logfinish(self) -> None:
        self.watching.switch_context("")


def _files() -> list[str]:
    told = sorted((ROOT / CONVERSATIONS).glob("test_*.py"))
    quick = [path for path in told if not path.name.startswith(TOO_LONG)]
    return [*ROOMS, *(path.relative_to(ROOT).as_posix() for path in quick)]

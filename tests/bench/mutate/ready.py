"""Loads, before the first child, what no broken module can reach: it saves half of the time."""

import importlib
import sys
import warnings

import grimp

OURS = ("flows", "bot")
FRESH_IN_EACH_CHILD = ("tests", "conftest", "__main__")


def make_ready(loaded: tuple[str, ...], broken: list[str]) -> None:
    """Of what the tests load, all that does not import one of the broken, near or far."""
    names = {path.removesuffix(".py").replace("/", ".") for path in broken}
    touched = touched_by(names)
    warnings.simplefilter("ignore")  # pytest sets its own in each child
    for name in loaded:
        if name not in touched and name.partition(".")[0] not in FRESH_IN_EACH_CHILD:
            _load(name)
    if not touched.isdisjoint(sys.modules):
        raise RuntimeError(f"Loaded too early: {sorted(touched.intersection(sys.modules))}")


def touched_by(broken: set[str]) -> set[str]:
    """What is loaded anew with these: who imports them, and what stands in a package that does."""
    graph = grimp.build_graph(*OURS, cache_dir=None)
    touched: set[str] = set()
    found = broken
    while not found <= touched:
        touched |= found
        found = set().union(*(graph.find_downstream_modules(name) for name in touched))
        found |= set().union(*(graph.find_descendants(name) for name in touched))
    return touched


def _load(name: str) -> None:
    try:
        importlib.import_module(name)
    except ImportError:
        return  # another module made it while it was loaded, and does so again

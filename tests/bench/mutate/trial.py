"""One trial: a child of its own, in which one module is broken and some tests are run."""

import importlib.util
import os
import resource
import sys
from collections.abc import Callable, Collection, Sequence
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from types import CodeType, ModuleType

import pytest

ALONE = (
    "-q",
    "-x",
    "--tb=no",
    "--assert=plain",
    *("-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:cov"),
)
"""Leaves no cache behind, starts no second process, explains no failure."""

SECONDS_TO_BEGIN = 15
SECONDS_A_TEST = 0.3
"""Of processor time, so that a busy machine kills no mutant; what loops for ever dies of it."""
MOST_MEMORY = 4 * 1024**3


class Broken(MetaPathFinder, Loader):
    """Gives the mutant to whoever imports the module."""

    def __init__(self, path: str, code: CodeType) -> None:
        self.name = path.removesuffix(".py").replace("/", ".")
        self.path = path
        self.code = code

    def find_spec(self, name: str, *_: object) -> ModuleSpec | None:
        if name != self.name:
            return None
        return importlib.util.spec_from_loader(name, self, origin=self.path)

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)  # noqa: S102 - our own code, with one thing wrong


class Chosen:
    """Runs only the chosen tests, in their order; and any that the mutant itself has made."""

    def __init__(self, chosen: Sequence[str], known: Collection[str]) -> None:
        self.order = {test: at for at, test in enumerate(chosen)}
        self.known = known

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [
            each for each in items if each.nodeid in self.order or each.nodeid not in self.known
        ]
        items.sort(key=lambda each: self.order.get(each.nodeid, -1))


def is_killed(path: str, code: CodeType, chosen: Sequence[str], known: Collection[str]) -> bool:
    """Whether one of the *chosen* tests fails on the mutant, or never comes to its end."""
    files = list(dict.fromkeys(test.partition("::")[0] for test in chosen))

    def run() -> int:
        sys.meta_path.insert(0, Broken(path, code))
        return pytest.main([*ALONE, *files], plugins=[Chosen(chosen, known)])

    unhurt = (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED)
    return in_a_child(run, SECONDS_TO_BEGIN + SECONDS_A_TEST * len(chosen)) not in unhurt


def in_a_child(run: Callable[[], int], seconds: float) -> int:
    """What *run* returns in a process forked for it; negative where a signal ended that."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            _limit(int(seconds))
            code = int(run())
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _limit(seconds: int) -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for said in (1, 2):
        os.dup2(nowhere, said)

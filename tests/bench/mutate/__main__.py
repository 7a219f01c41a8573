"""`python -m tests.bench.mutate [module...]`; without a module, every rule."""

import sys
from collections.abc import Iterable
from tempfile import TemporaryDirectory

from tests.bench.mutate import survivors
from tests.bench.mutate.mutants import Mutant, mutants_of, path_of
from tests.bench.mutate.reach import Reach, measured
from tests.bench.mutate.ready import make_ready
from tests.bench.mutate.trial import is_killed
from tests.house.tree import ROOT

LEAST_KILLED = 0.90
EVERY_RULE = "flows/rules"


def main(names: list[str]) -> int:
    modules = [path_of(name) for name in names] or _rules()
    with TemporaryDirectory() as compiled:
        # Each child reads what an earlier one has compiled, and the tree is left as it was.
        sys.dont_write_bytecode, sys.pycache_prefix = False, compiled
        reach = measured(modules)
        make_ready(reach.loaded, modules)
        tried = [_tried(module, reach) for module in modules]
    differing = _differing([each for alive, _ in tried for each in alive], modules)
    return 1 if differing or min(share for _, share in tried) < LEAST_KILLED else 0


def _tried(module: str, reach: Reach) -> tuple[list[survivors.Survivor], float]:
    """Who survives in a module, and the share that was killed."""
    _must_pass_unbroken(module, reach)
    mutants = list(mutants_of(module))
    alive = [each for each in mutants if _survives(each, reach)]
    killed = len(mutants) - len(alive)
    _say(f"{module}: {killed} of {len(mutants)} killed")
    return [survivors.found(each) for each in alive], killed / max(len(mutants), 1)


def _rules() -> list[str]:
    return [
        path.relative_to(ROOT).as_posix()
        for path in sorted((ROOT / EVERY_RULE).glob("*.py"))
        if path.name != "__init__.py"
    ]


def _must_pass_unbroken(module: str, reach: Reach) -> None:
    """The trial itself hurts nobody: without this, a broken bench would kill every mutant."""
    code = compile((ROOT / module).read_text(encoding="utf-8"), module, "exec")
    if is_killed(module, code, reach.tests, reach.tests):
        raise RuntimeError(f"{module} fails its trial with nothing broken.")


def _survives(mutant: Mutant, reach: Reach) -> bool:
    for tests in reach.rounds(mutant.spot):
        if tests and is_killed(mutant.spot.module, mutant.code, tests, reach.tests):
            return False
    _say(mutant.told)
    return True


def _differing(survived: list[survivors.Survivor], modules: list[str]) -> bool:
    """Whether who survives is not who is listed; says both sides."""
    known = survivors.listed(survivors.LIST.read_text(encoding="utf-8"))
    new = survivors.not_listed(survived, known)
    gone = survivors.outlived(survived, known, modules)
    _say_all("survives and is not listed; kill it with a test, or list it with why:", new)
    _say_all("listed, and survives no longer:", gone)
    return bool(new or gone)


def _say_all(heading: str, those: Iterable[survivors.Survivor]) -> None:
    entries = [survivors.as_entry(each) for each in those]
    if entries:
        _say("\n".join([heading, "", *entries]))


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

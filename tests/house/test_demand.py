"""Where everything is demanded, a skip is a failure that says why; elsewhere it stays a skip."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.tree import ROOT
from tests.kit.demand import DEMAND

SKIPS = """
import pytest

@pytest.fixture
def postgres():
    pytest.skip("no PostgreSQL here")

def test_in_a_fixture(postgres): ...

def test_in_the_test():
    pytest.skip("no browser here")

@pytest.mark.skip(reason="no gateway here")
def test_by_a_mark(): ...

@pytest.mark.xfail(reason="known")
def test_expected_to_fail():
    assert False
"""
SKIPS_WHOLE = "import pytest\npytest.skip('no module here', allow_module_level=True)\n"


def run(folder: Path, demand: str, *names: str) -> subprocess.CompletedProcess[str]:
    (folder / "test_skips.py").write_text(SKIPS)
    (folder / "test_whole.py").write_text(SKIPS_WHOLE)
    own = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), DEMAND: demand}
    plugin = ["-p", "no:cacheprovider", "-p", "tests.kit.demand"]
    return subprocess.run(
        [sys.executable, "-m", "pytest", *plugin, "-ra", "--rootdir", folder, *names],
        cwd=folder,
        env=own,
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_skipped_test_is_a_failure_that_says_why(tmp_path: Path) -> None:
    ran = run(tmp_path, "all", "test_skips.py")

    reasons = ("no PostgreSQL here", "no browser here", "no gateway here")
    assert [why for why in reasons if f"this was one. Skipped: {why}" not in ran.stdout] == []
    assert "1 failed, 1 xfailed, 2 errors" in ran.stdout
    assert ran.returncode == pytest.ExitCode.TESTS_FAILED


def test_a_skipped_module_is_a_failure_that_says_why(tmp_path: Path) -> None:
    ran = run(tmp_path, "all", "test_whole.py")

    assert "this was one. Skipped: no module here" in ran.stdout
    assert ran.returncode == pytest.ExitCode.INTERRUPTED


def test_without_the_demand_a_skip_is_a_skip(tmp_path: Path) -> None:
    ran = run(tmp_path, "")

    assert "4 skipped, 1 xfailed" in ran.stdout
    assert ran.returncode == pytest.ExitCode.OK


def test_a_demand_that_nobody_knows_is_refused(tmp_path: Path) -> None:
    ran = run(tmp_path, "some")

    assert "SOAKBELL_TEST_DEMAND is 'some'; it may be 'all', or not set." in ran.stderr
    assert ran.returncode == pytest.ExitCode.USAGE_ERROR

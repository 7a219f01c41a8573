"""What a newcomer types is what is tested, and what it installs is pinned."""

import re

import pytest

from tests.house.commands import command
from tests.house.tree import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_first_command_makes_an_environment_installs_with_pins_and_opens_the_demo() -> None:
    steps = command("first", README).split(" && ")

    assert steps[0].endswith(" -m venv .venv")
    assert "-c .constraints.txt" in steps[1]
    assert steps[2:] == [".venv/bin/soakbell demo"]


def test_the_second_command_runs_every_test() -> None:
    assert command("second", README) == ".venv/bin/pytest"


@pytest.mark.parametrize(
    "readme",
    [
        "",
        "<!-- first command -->\n```sh\nmake\ninstall\n```\n",
        "<!-- first command -->\n```sh\nmake\n```\n" * 2,
    ],
    ids=["absent", "two lines", "twice"],
)
def test_a_command_that_is_not_there_once_in_one_line_is_refused(readme: str) -> None:
    with pytest.raises(LookupError, match="first command"):
        command("first", readme)


def test_every_pin_is_a_name_and_a_version_and_nothing_more() -> None:
    lines = (ROOT / ".constraints.txt").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]

    assert pins != []
    assert [pin for pin in pins if not re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.+]+", pin)] == []

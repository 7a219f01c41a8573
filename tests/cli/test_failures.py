"""Whatever goes wrong is a line that says what to do, and a code that scripts can see."""

import click
import pytest
from click.testing import CliRunner

from bot.cli import failed, in_words, main
from bot.settings import WrongSettings
from bot.store.errors import SiteUnknown


def test_our_own_errors_speak_for_themselves() -> None:
    words = in_words(SiteUnknown("velmara"))

    assert words == "There is no site velmara in this store. Open it first."


def test_of_any_other_error_the_kind_the_first_line_and_the_way_to_more_are_said() -> None:
    words = in_words(OSError("No space left\nand a page of detail"))

    assert words == ("OSError: No space left. For more: soakbell --traceback and the command.")


@pytest.mark.parametrize(
    ("failure", "code"), [(WrongSettings(("A is not set.",)), 2), (OSError("disk"), 1)]
)
def test_what_the_operator_can_put_right_has_the_code_of_a_mistyped_command(
    failure: Exception, code: int
) -> None:
    assert failed(failure).exit_code == code


@pytest.fixture
def broken(monkeypatch: pytest.MonkeyPatch) -> None:
    @click.command()
    def breaks() -> None:
        """Break."""
        raise OSError("No space left")

    monkeypatch.setattr(type(main), "get_command", lambda *_: breaks)


@pytest.mark.usefixtures("broken")
def test_a_failing_command_says_one_line_and_no_traceback() -> None:
    done = CliRunner().invoke(main, ["breaks"])

    assert done.exit_code == 1
    assert done.stderr.splitlines() == [
        "Error: OSError: No space left. For more: soakbell --traceback and the command."
    ]


@pytest.mark.usefixtures("broken")
def test_traceback_lets_the_failure_through() -> None:
    done = CliRunner().invoke(main, ["--traceback", "breaks"])

    assert isinstance(done.exception, OSError)


def test_a_command_that_is_not_there_is_named() -> None:
    done = CliRunner().invoke(main, ["nope"])

    assert done.exit_code == 2
    assert "No such command 'nope'" in done.stderr


def test_every_command_has_help() -> None:
    context = click.Context(main)
    listed = {name: main.get_command(context, name) for name in main.list_commands(context)}

    assert [name for name, command in listed.items() if not (command and command.help)] == []

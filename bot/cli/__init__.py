"""The `soakbell` command; failures become one line and a non-zero exit.

Each file of this room holds, as `command`, the command of its own name, or a group of them. Only
the one that is asked for is loaded. A file without a `command` serves the others.
"""

from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import click

from bot import __version__, logs
from bot.settings import WrongSettings
from flows.protocols import BadProtocols


class Commands(click.Group):
    """The commands of this room."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        names = sorted(file.name for file in iter_modules(__path__))
        return [name for name in names if self.get_command(ctx, name) is not None]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in {file.name for file in iter_modules(__path__)}:
            return None
        command: click.Command | None = getattr(
            import_module(f"{__name__}.{cmd_name}"), "command", None
        )
        return command

    def invoke(self, ctx: click.Context) -> Any:
        """Whatever goes wrong is said in a line of its own, unless --traceback asks for more."""
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except Exception as failure:
            if ctx.params.get("traceback"):
                raise
            raise failed(failure) from failure


class Failed(click.ClickException):
    """What went wrong, for whoever typed the command: a line a problem, and no traceback."""


class Mistaken(Failed):
    """The operator can put it right: the code is that of a mistyped command."""

    exit_code = 2


def failed(failure: Exception) -> Failed:
    kind = Mistaken if isinstance(failure, WrongSettings | BadProtocols) else Failed
    return kind(in_words(failure))


def in_words(failure: Exception) -> str:
    """Our own errors say what to do; of any other its kind is said, and how to see more."""
    words = str(failure)
    if type(failure).__module__.partition(".")[0] in {"bot", "flows"}:
        return words
    first = words.partition("\n")[0] or "it does not say why"
    return f"{type(failure).__name__}: {first}. For more: soakbell --traceback and the command."


@click.group(cls=Commands)
@click.version_option(__version__, prog_name="soakbell")
@click.option("--traceback", is_flag=True, help="Show where in the code a failure came from.")
def main(*, traceback: bool) -> None:
    """Walk a health worker through the hand disinfection of a probe, by text message.

    New here? soakbell demo opens an invented clinic with phones in your browser, and soakbell
    chat the same in this terminal. No message leaves the machine.
    """
    del traceback
    logs.set_up()

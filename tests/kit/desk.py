"""The soakbell command, typed in this process."""

from dataclasses import dataclass, field

from click.testing import CliRunner, Result

from bot.cli import main


@dataclass(frozen=True)
class Desk:
    """Somebody at a keyboard, with the record at one address."""

    url: str
    runner: CliRunner = field(default_factory=CliRunner)

    def types(self, *words: str, answers: str = "") -> Result:
        """A command, and what is typed where it asks."""
        environment = {"SOAKBELL_DATABASE_URL": self.url}
        return self.runner.invoke(main, [*words], input=answers, env=environment)

    def reads(self, *words: str, answers: str = "") -> str:
        """What a command says that must not fail."""
        done = self.types(*words, answers=answers)
        assert done.exit_code == 0, done.output
        return done.stdout

    def fails(self, *words: str, code: int = 1) -> list[str]:
        """The lines in which a command says what is wrong."""
        done = self.types(*words)
        assert done.exit_code == code, done.output
        assert isinstance(done.exception, SystemExit)
        return done.stderr.removeprefix("Error: ").splitlines()


def set_up(desk: Desk) -> None:
    """A site with a worker, a device and supplies, as an operator would type it."""
    desk.reads("site", "open", "hill", "--zone", "Etc/GMT-3", "--closes-at", "17:00")
    desk.reads("person", "add", "1", "Ann", "--may-release", "--phone", "+12025550101")
    desk.reads("device", "add", "V1", "handheld_probe")

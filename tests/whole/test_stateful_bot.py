"""The same hours at a clinic over the whole bot: doors, database, outbox and bells as rows."""

import shutil
import tempfile
from pathlib import Path

from hypothesis import Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from bot.store.engine import open_store
from tests.kit.machine import ClinicDay
from tests.kit.shell_bot import ShellBot
from tests.kit.shift import Bot


def test_no_unsafe_release_by_the_whole_bot_and_its_record_is_whole(
    sqlite_template: Path,
) -> None:
    class WholeDay(ClinicDay):
        def bot(self) -> Bot:
            self.folder = tempfile.TemporaryDirectory()
            database = shutil.copy(sqlite_template, Path(self.folder.name) / "soakbell.db")
            self.store = open_store(f"sqlite:///{database}")
            self.whole = ShellBot(self.store)
            return self.whole

        def is_rebuilt(self) -> None:
            """Looked at once, at the end: it reads the whole record."""

        def teardown(self) -> None:
            try:
                if self.whole.entries:
                    assert self.whole.wrong_rows() == []
                    assert self.whole.wrong_chain() == []
            finally:
                self.store.close()
                self.folder.cleanup()

    run_state_machine_as_test(
        WholeDay,
        settings=settings(max_examples=8, stateful_step_count=5, phases=(Phase.generate,)),
    )

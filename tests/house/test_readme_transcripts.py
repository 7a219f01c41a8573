"""What README shows of a conversation is what the bot says today."""

import re

from tests.cli.replay import TRANSCRIPTS
from tests.house.tree import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"```text\n(.*?)```", README, flags=re.DOTALL)
TOLD = [path.read_text(encoding="utf-8") for path in TRANSCRIPTS]


def test_README_shows_conversations() -> None:
    assert len(SHOWN) == 2


def test_every_conversation_that_README_shows_stands_in_a_replayed_transcript() -> None:
    strange = [shown for shown in SHOWN if not any(shown.strip() in told for told in TOLD)]

    assert strange == []

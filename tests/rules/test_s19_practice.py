"""S19: practice never mixes with the real record: nothing here knows of practice at all."""

from pathlib import Path

import flows
from flows.catalogue import COMMANDS, FLOWS
from flows.parts.events import EVENTS


def test_S19_no_command_flow_or_event_of_the_real_record_is_for_practice() -> None:
    named = [*COMMANDS, *FLOWS, *map(str.lower, EVENTS)]

    assert [name for name in named if "practice" in name or "practise" in name] == []


def test_S19_nothing_in_the_pure_half_can_reach_a_store() -> None:
    sources = [path.read_text("utf-8") for path in Path(flows.__path__[0]).rglob("*.py")]

    assert len(sources) > 50
    assert not [text for text in sources if "import bot" in text or "from bot" in text]

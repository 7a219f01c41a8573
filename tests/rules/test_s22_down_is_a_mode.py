"""S22: down is a mode: whoever puts a device in is told to set a timer of their own."""

import pytest

from flows.parts.clinic import Level
from tests.kit.cycles import number_for, play_cycle
from tests.kit.talk import clinic


@pytest.mark.parametrize("level", list(Level))
def test_S22_each_in_prompt_says_to_set_a_timer_too(level: Level) -> None:
    talk = clinic(level=level)
    play_cycle(talk, until="immerse")

    asked = talk.last()
    again = talk.sends("hm", after=20)[-1]
    bears = f"{number_for(talk)} " if level is Level.BRIEF else ""
    cold = talk.sends(f"IN {bears}19", after=20)[-1]
    talk.sends(f"IN {number_for(talk)} 23", after=20)
    early = talk.sends("OUT", after=60)[-1]

    assert [text for text in (asked, again, cold, early) if "timer" not in text] == []
    assert [text for text in (asked, again, cold, early) if "IN " not in text] == []


def test_S22_a_soak_that_cannot_be_proved_says_so_too() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="20")
    talk.wait(minutes=13)

    cold = talk.sends(f"OUT {number_for(talk)} 19")[-1]

    assert cold.startswith("V1: this soak cannot be counted.")
    assert "set your timer" in cold

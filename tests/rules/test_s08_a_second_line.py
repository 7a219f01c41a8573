"""S8: what stands on a line of its own below an answer belongs to it, unless it is a signature."""

import pytest

from flows.parts.events import Released, StripRead
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import clinic


@pytest.mark.parametrize(
    ("step", "body"),
    [
        *(("read", "1\npatchy"), ("read", "1\na bit blue at the edge"), ("read", "1\n?")),
        *(("final_inspect", "good\na stain"), ("final_inspect", "good\nsmall stain at the tip")),
        *(
            ("inspect", "sound\nsmall crack"),
            ("inspect", "sound\nmay be damaged"),
            ("dry", "dry\nalmost"),
        ),
        *(("final_rinse", "flushed\nonly once"), ("container", "tub\nsame as detergent")),
        *(("cover", "covered\nbut it fell on the floor"), ("immerse", "in 22\nhalf in")),
    ],
)
def test_S8_no_answer_is_taken_above_a_doubt(step: str, body: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    talk.wait(seconds=200 if step != "read" else 95)

    talk.sends(body)

    assert step_of(talk) == step
    assert talk.happened(StripRead if step == "read" else Released) == []


@pytest.mark.parametrize("below", ["Namep1", "-- Sister Ada", "sent from my phone"])
def test_S10_a_signature_changes_no_answer(below: str) -> None:
    """The name of whoever sends it needs no mark."""
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends(f"covered\n{below}", after=200)

    assert len(talk.happened(Released)) == 1


def test_S8_damage_below_an_answer_is_asked_about() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    text, asked = talk.sends("covered\nbut it fell on the floor", after=200)

    assert text.startswith("About V1: nothing is noted yet.")
    assert asked.startswith("V1: cover it.")

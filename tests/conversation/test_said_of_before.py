"""S5: what was poured or opened before now is never noted as of now: its life would run from then.

The pour day is day 1. Source: common practice, none published, for what people say beside it.
"""

from datetime import timedelta

import pytest

from flows.parts.events import JugOpened, Poured, StripBottleOpened
from tests.kit.talk import Talk, clinic

POURED_BEFORE = """
POUR J1 YESTERDAY; POUR B1 yesterday at 4; POUR YESTERDAY; POUR J1 this morning; POUR B1 8:00
POUR J1 2 days ago; POUR J1 on monday; POUR J1 earlier; POUR OPA last night; POUR J1 since 8.05
"""
OPENED_BEFORE = """
OPEN YESTERDAY; OPEN 270331 D9 YESTERDAY; OPEN S 270331 K3 YESTERDAY; OPEN 270331 D9 8:00
OPEN last week; OPEN 3 days ago; OPEN this morning; OPEN S earlier
"""


def each_of(texts: str) -> list[str]:
    return [each.strip() for line in texts.split("\n") for each in line.split(";") if each]


def noted(talk: Talk) -> int:
    return len(talk.happened(Poured)) + len(talk.happened(JugOpened))


@pytest.mark.parametrize("body", each_of(POURED_BEFORE))
def test_S5_what_was_poured_before_is_not_asked_for_as_poured_now(body: str) -> None:
    talk = clinic()
    before = noted(talk)
    talk.now += timedelta(days=1)

    (said,) = talk.sends(body)
    talk.sends("FILLED", after=60)
    talk.sends("POURED", after=60)

    assert said.startswith(
        "By text only what is poured just now, so nothing is noted. Was it before? Then your "
        "contact enters it with its day; until then do not use it. "
    )
    assert noted(talk) == before


def test_S5_it_says_what_to_text_for_what_is_poured_now() -> None:
    talk = clinic()

    assert talk.sends("POUR J1 YESTERDAY")[0].endswith("do not use it. Now: POUR J1.")
    assert talk.sends("POUR J7 YESTERDAY")[0].endswith("do not use it. Now: POUR J7.")
    assert talk.sends("POUR YESTERDAY")[0].endswith("do not use it. To pour now: POUR.")


@pytest.mark.parametrize("body", each_of(OPENED_BEFORE))
def test_S5_what_was_opened_before_is_not_asked_for_as_opened_now(body: str) -> None:
    """OPA: 75 days once opened. Source: from memory of the maker's file; here from the text on."""
    talk = clinic(stocked=False)

    (said,) = talk.sends(body)

    assert said == (
        "By text only what is opened just now, so nothing is noted. Was it before? Then your "
        "contact enters it with its day. Opened now: OPEN, for strips OPEN S."
    )
    assert talk.clinic.threads == {}
    assert talk.happened(StripBottleOpened) == talk.happened(JugOpened) == []


@pytest.mark.parametrize(
    "body",
    ["OPEN 270331 D9", "OPEN best before 03.27 lot D9", "OPEN 12.05.27 D9", "POUR J1 today"],
)
def test_what_says_nothing_of_before_is_asked_for(body: str) -> None:
    talk = clinic()

    talk.sends(body)

    assert len(talk.clinic.threads) == 1

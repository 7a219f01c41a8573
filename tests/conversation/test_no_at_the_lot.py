"""NO where the lot is asked for may deny the date as well: it is asked back (S5, S18)."""

import pytest

from flows.parts.events import JugOpened
from tests.kit.talk import clinic


@pytest.mark.parametrize("said", ["OPEN", "OPEN 280331", "OPEN 280331 L77"])
@pytest.mark.parametrize("body", ["NO", "no.", "non", "no thanks"])
def test_S5_NO_is_not_NONE(said: str, body: str) -> None:
    """The jug was noted without its lot, with the date that had just been denied."""
    talk = clinic(stocked=False)
    talk.sends(said)
    if said == "OPEN":
        talk.sends("280331", after=20)

    (asked,) = talk.sends(body, after=20)

    assert talk.happened(JugOpened) == []
    assert asked == (
        "Its lot, 2 to 12 letters and figures? Of a longer one the last 12. Not there, not "
        "readable: NONE. I noted expiry 31 Mar 2028; DATE if that is wrong."
    )


@pytest.mark.parametrize("body", ["NONE", "none, thanks"])
def test_NONE_in_full_is_none(body: str) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN 280331")

    talk.sends(body, after=20)

    (jug,) = talk.happened(JugOpened)
    assert jug.lot == ""

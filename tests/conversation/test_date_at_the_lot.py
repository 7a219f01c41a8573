"""Where the lot is asked for, DATE takes the expiry back, politely too."""

import pytest

from flows.parts.events import JugOpened
from tests.kit.talk import clinic


@pytest.mark.parametrize("body", ["DATE", "please DATE", "pls date", "dat"])
def test_S5_the_expiry_is_asked_for_again(body: str) -> None:
    talk = clinic()
    talk.sends("OPEN")
    talk.sends("270331", after=20)

    talk.sends(body, after=20)

    (thread,) = talk.clinic.threads.values()
    assert thread.top.step == "jug"
    assert not [each for each in talk.happened(JugOpened) if each.tag == "J2"]

"""The strip's bell is a back-up: once the reading has come there is nothing left to ring."""

from tests.kit.talk import clinic


def test_S4_a_strip_that_has_been_read_leaves_no_bell_behind() -> None:
    talk = clinic()
    talk.sends("TEST T1")
    talk.sends("DIP T1", after=5)

    talk.sends("1", after=92)

    assert [bell for bell in talk.clinic.bells.values() if bell.kind == "strip"] == []

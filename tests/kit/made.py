"""What was mixed, where nothing stood against it."""

from typing import TypeVar

from flows.calculations.strength import Impossible

T = TypeVar("T")


def made(mix: T | Impossible) -> T:
    """The mix itself; a reason against it fails the test with that reason."""
    assert not isinstance(mix, Impossible), mix
    return mix

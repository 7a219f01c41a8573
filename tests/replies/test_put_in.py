"""IN as people type it: of the probe, perhaps of it, or of something else."""

import pytest

from flows.replies.put_in import Said, said_in
from flows.replies.typed import tidy


@pytest.mark.parametrize(
    "body",
    [
        *("IN", "in 23", "IN23", "in t1 2O.5", "put it back in", "back in T1", "in the other tub"),
        *("T1 in", "T1 in 23", "T1: it is in 23", "T1 is in", "73 T1 in 23"),
        *("in 5 min ago", "in since 5 min", "in 23 C", "in detergent", "in T1 by mistake"),
    ],
)
def test_of_a_probe(body: str) -> None:
    assert said_in(tidy(body)) is Said.IN


@pytest.mark.parametrize(
    "body",
    [
        "in use",
        "back in 5 min",
        "back in 10",
        "in room 2 with V1",
        "put in the office",
        "in a bag",
    ],
)
def test_perhaps_of_a_probe(body: str) -> None:
    assert said_in(tidy(body)) is Said.MAYBE


@pytest.mark.parametrize(
    "body",
    [
        *("", "in?", "out", "put down", "back", "in 5 min", "in a few minutes", "back in an hour"),
        *("in room 2", "in the toilet", "in order", "T1 in use", "T1 in 5 min", "T1 ready in 10"),
    ],
)
def test_of_no_probe(body: str) -> None:
    assert said_in(tidy(body)) is Said.NOTHING

"""Entries are for ever: no event or field that was ever shipped may go or change its type."""

import json
from typing import Any

import pytest

from flows.parts.encoding import decode, encode
from flows.parts.events import EVENTS, Event
from tests.house.events import (
    Shapes,
    ever_shipped,
    lost,
    sample_of,
    samples,
    shapes,
    unlisted,
    without_default,
)


def test_nothing_that_was_ever_shipped_is_gone_or_of_another_type() -> None:
    assert lost(ever_shipped(), shapes()) == []


def test_what_is_new_is_in_the_list() -> None:
    assert unlisted(ever_shipped(), shapes()) == []


def test_a_field_that_was_added_later_has_a_default() -> None:
    assert without_default(ever_shipped()) == []


def test_every_event_has_a_sample() -> None:
    assert {each["event"] for each in samples()} == set(EVENTS)


KEPT = samples()


@pytest.mark.parametrize(
    "sample", KEPT, ids=[f"{number} {each['event']}" for number, each in enumerate(KEPT)]
)
def test_a_sample_decodes_for_ever_and_says_what_it_said(sample: dict[str, Any]) -> None:
    event = decode(EVENTS[sample["event"]], sample["fields"])

    again = encode(event)
    assert isinstance(event, Event)
    assert {key: again[key] for key in sample["fields"]} == sample["fields"]


def test_a_new_sample_of_an_event_fills_every_field() -> None:
    for name in EVENTS:
        assert set(sample_of(name)["fields"]) == set(shapes()[name])


def test_a_sample_is_plain_json_without_floats() -> None:
    def refuse(text: str) -> float:
        raise AssertionError(text)

    for each in samples():
        json.loads(json.dumps(each), parse_float=refuse)


A: Shapes = {"A": {"x": "str"}, "B": {}}


@pytest.mark.parametrize(
    ("today", "found"),
    [
        (A, []),
        ({**A, "C": {"y": "int"}}, []),
        ({"A": {"x": "str", "y": "int"}, "B": {}}, []),
        ({"B": {}}, ["A.x: was str, is gone"]),
        ({"A": {}, "B": {}}, ["A.x: was str, is gone"]),
        ({"A": {"x": "int"}, "B": {}}, ["A.x: was str, is int"]),
        ({"A": {"x": "str"}}, ["B.: was an event, is gone"]),
    ],
    ids=["same", "event added", "field added", "event gone", "field gone", "type", "empty gone"],
)
def test_a_loss_is_found(today: Shapes, found: list[str]) -> None:
    assert lost(A, today) == found


@pytest.mark.parametrize(
    ("today", "found"),
    [
        (A, []),
        ({**A, "C": {"y": "int"}}, ["C"]),
        ({"A": {"x": "str", "y": "int"}, "B": {}}, ["A.y"]),
    ],
    ids=["same", "event added", "field added"],
)
def test_an_addition_that_nobody_listed_is_found(today: Shapes, found: list[str]) -> None:
    assert unlisted(A, today) == found


def test_the_parts_that_events_hold_are_listed_like_events() -> None:
    listed = shapes()

    assert listed["Frame"]["flow"] == "str"
    assert set(listed["Level"]) == {"brief", "coach"}
    assert listed["QuestionAsked"]["frames"] == "tuple[Frame, ...]"


def test_an_entry_that_lacks_a_field_it_was_shipped_with_is_refused() -> None:
    with pytest.raises(TypeError):
        decode(EVENTS["StepDone"], {"cycle": "c1"})

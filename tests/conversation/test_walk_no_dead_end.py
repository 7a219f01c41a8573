"""From every state some way leads to the work's end, and every text gets an answer."""

from collections import defaultdict, deque

from flows.parts.events import CycleAbandoned, PhoneOptedOut
from flows.sign_in import is_locked
from flows.walk import Text, Walk
from tests.conversation.walked import in_every_clinic, walked


def reaching(walk: Walk, ends: set[int]) -> set[int]:
    """The states from which some way leads to one of *ends*."""
    back: dict[int, set[int]] = defaultdict(set)
    for state, edges in walk.edges.items():
        for edge in edges:
            back[edge.to].add(state)
    found, waiting = set(ends), deque(ends)
    while waiting:
        new = back[waiting.popleft()] - found
        found |= new
        waiting.extend(new)
    return found


@in_every_clinic
def test_from_every_state_some_way_leads_to_where_nobody_is_asked_anything(name: str) -> None:
    walk = walked(name)
    ends = {state for state in walk.edges if not walk.rooms[state].clinic.threads}

    stuck = set(walk.edges) - reaching(walk, ends)

    assert [asked(walk, state) for state in sorted(stuck)] == []


@in_every_clinic
def test_from_every_state_some_way_leads_to_a_release(name: str) -> None:
    walk = walked(name)
    ends = {
        state
        for state in walk.edges
        if any(device.release for device in walk.rooms[state].clinic.devices.values())
    }

    stuck = set(walk.edges) - reaching(walk, ends)

    assert [asked(walk, state) for state in sorted(stuck)] == []


def asked(walk: Walk, state: int) -> list[str]:
    threads = walk.rooms[state].clinic.threads.values()
    return [f"{thread.top.flow}/{thread.top.step}" for thread in threads]


@in_every_clinic
def test_every_text_is_answered_but_for_locked_phones(name: str) -> None:
    silent = [
        edge.input
        for edge in walked(name)
        if isinstance(edge.input, Text)
        and not is_locked(edge.before.clinic.phones[edge.input.phone], edge.before.now)
        and not any(isinstance(event, PhoneOptedOut) for event in edge.outcome.events)
        and edge.input.phone not in {saying.to for saying in edge.outcome.says}
    ]

    assert silent == []


@in_every_clinic
def test_S1_nobody_works_to_the_end_to_hear_that_something_was_missing_all_along(
    name: str,
) -> None:
    in_vain = [
        (edge.input, event.because)
        for edge in walked(name)
        for event in edge.outcome.events
        if isinstance(event, CycleAbandoned) and event.because.startswith("not_proved")
    ]

    assert in_vain == []

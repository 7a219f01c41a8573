"""Bells: what soaks has one, what is asked has one, and no soak is ever given up."""

from flows.catalogue import FLOWS
from flows.parts.events import CycleAbandoned, CycleBegan
from flows.walk import Bells, Room
from tests.conversation.walked import in_every_clinic, walked

LAST_STAGE = 4
"""S12: past its maximum everybody has been told; what is left is the inspection."""


def rooms(name: str) -> list[Room]:
    return walked(name).rooms


@in_every_clinic
def test_S2_S12_whatever_soaks_has_its_next_bell_set(name: str) -> None:
    for room in rooms(name):
        bells = {(bell.kind, bell.cycle) for bell in room.clinic.bells.values()}
        for cycle in room.clinic.cycles.values():
            if cycle.contact and not cycle.contact.rung:
                assert ("contact", cycle.id) in bells
            if cycle.contact and cycle.contact.rung and not told_all(room, cycle.id):
                assert ("overdue", cycle.id) in bells
            if cycle.detergent and not cycle.detergent.rung:
                assert ("detergent", cycle.id) in bells


def told_all(room: Room, cycle: str) -> bool:
    """Whether the bell past the maximum has rung, which is the last one."""
    soak = room.clinic.cycles[cycle].contact
    rang = [
        each
        for each in room.entries
        if getattr(each.event, "kind", "") == "overdue"
        and getattr(each.event, "cycle", "") == cycle
        and hasattr(each.event, "late")
        and soak is not None
        and each.at >= soak.began
    ]
    return len(rang) >= LAST_STAGE


@in_every_clinic
def test_S12_a_soak_is_never_abandoned_by_a_bell(name: str) -> None:
    for edge in walked(name):
        if isinstance(edge.input, Bells):
            given_up = {
                each.cycle for each in edge.outcome.events if isinstance(each, CycleAbandoned)
            }
            soaking = {
                each.id for each in edge.before.clinic.cycles.values() if each.contact is not None
            }
            assert not given_up & soaking


@in_every_clinic
def test_S8_every_question_that_waits_for_an_answer_has_a_bell_to_ask_again(name: str) -> None:
    for room in rooms(name):
        for thread in room.clinic.threads.values():
            step = FLOWS[thread.top.flow].step(thread.top.step)
            assert step is not None
            cycle = room.clinic.cycles.get(thread.cycle or "")
            owned = cycle is not None and cycle.contact is not None
            if step.patience is not None and not owned:
                assert f"{thread.id}.nudge" in room.clinic.bells


@in_every_clinic
def test_S8_every_cycle_that_is_open_is_somebodys_question(name: str) -> None:
    for room in rooms(name):
        asked = [thread.cycle for thread in room.clinic.threads.values() if thread.cycle]
        assert sorted(asked) == sorted(room.clinic.cycles)


@in_every_clinic
def test_S8_a_device_is_in_the_one_cycle_that_is_open_for_it(name: str) -> None:
    for room in rooms(name):
        of_devices = {label: each.cycle for label, each in room.clinic.devices.items()}
        of_cycles = {each.device: each.id for each in room.clinic.cycles.values()}
        assert {label: cycle for label, cycle in of_devices.items() if cycle} == of_cycles


@in_every_clinic
def test_every_walk_begins_cycles_and_rings_bells(name: str) -> None:
    events = {type(event) for edge in walked(name) for event in edge.outcome.events}

    assert CycleBegan in events
    assert any(isinstance(edge.input, Bells) for edge in walked(name))

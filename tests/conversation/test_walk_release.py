"""S1 on every path: each release is backed by the raw events, read by a check of its own."""

from flows.parts.clinic import Standing
from flows.parts.events import (
    ContainerHeld,
    CycleVoided,
    Quarantined,
    QuarantineLifted,
    Recalled,
    Released,
    ReleaseWithdrawn,
    TakenOut,
)
from flows.walk import Edge, Text
from tests.conversation.evidence import problems
from tests.conversation.walked import in_every_clinic, walked


def releases(name: str) -> list[tuple[Edge, Released]]:
    return [
        (edge, event)
        for edge in walked(name)
        for event in edge.outcome.events
        if isinstance(event, Released)
    ]


@in_every_clinic
def test_S1_every_release_on_every_path_is_backed_by_the_events_of_its_cycle(name: str) -> None:
    unearned = [
        (edge.input, problems(edge.after().entries, event.cycle, event.device))
        for edge, event in releases(name)
    ]

    assert [each for each in unearned if each[1]] == []


@in_every_clinic
def test_S1_there_are_releases_to_look_at(name: str) -> None:
    assert len(releases(name)) > 3


@in_every_clinic
def test_S1_only_somebody_who_may_release_is_there_when_it_is_released(name: str) -> None:
    for edge, event in releases(name):
        after = edge.after()
        stamped = next(each for each in reversed(after.entries) if each.event == event)
        assert after.clinic.people[stamped.person or ""].may_release


@in_every_clinic
def test_S2_only_out_with_the_number_of_the_bell_that_has_rung_completes_a_soak(name: str) -> None:
    for edge in walked(name):
        for event in edge.outcome.events:
            if isinstance(event, TakenOut):
                soak = edge.before.clinic.cycles[event.cycle].contact
                assert isinstance(edge.input, Text)
                assert soak is not None
                assert soak.rung is not None
                assert str(soak.number) in edge.input.body.split()


@in_every_clinic
def test_S13_a_device_in_quarantine_is_never_ready_before_it_is_lifted_and_cleaned(
    name: str,
) -> None:
    walk = walked(name)
    for edge in walk:
        lifted = {e.device for e in edge.outcome.events if isinstance(e, QuarantineLifted)}
        after = walk.rooms[edge.to]
        for label, device in edge.before.clinic.devices.items():
            if device.standing is Standing.QUARANTINED:
                now = after.clinic.devices[label]
                assert now.standing is not Standing.RELEASED
                assert now.release is None
                assert label in lifted or now.standing is Standing.QUARANTINED


@in_every_clinic
def test_S13_no_cycle_that_a_quarantine_has_touched_ends_in_a_release(name: str) -> None:
    for edge, event in releases(name):
        entries = [each.event for each in edge.after().entries]
        began = max(at for at, e in enumerate(entries) if getattr(e, "cycle", "") == event.cycle)
        assert not any(
            isinstance(each, Quarantined) and each.device == event.device
            for each in entries[began:]
        )


@in_every_clinic
def test_S18_on_no_path_does_anything_that_is_open_or_ready_rest_on_what_was_recalled(
    name: str,
) -> None:
    for edge in walked(name):
        clinic = edge.after().clinic
        resting = [each.release.batches for each in clinic.devices.values() if each.release]
        resting += [each.batches for each in clinic.cycles.values()]
        fallen = [batch for each in resting for batch in each if clinic.recall_of(batch)]
        assert fallen == [], edge.input


def test_S18_there_are_recalls_with_devices_in_the_bath_and_ready() -> None:
    recalls = [
        edge
        for edge in walked("coached")
        if any(isinstance(event, Recalled) for event in edge.outcome.events)
    ]
    fell = {type(event) for edge in recalls for event in edge.outcome.events}

    assert {CycleVoided, ReleaseWithdrawn, ContainerHeld} <= fell

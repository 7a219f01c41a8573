"""S21 on every path: the bot never sends a second device to a bath that is taken."""

from tests.conversation.walked import in_every_clinic, walked


@in_every_clinic
def test_S21_no_two_cycles_are_led_to_one_bath(name: str) -> None:
    for room in walked(name).rooms:
        led = [
            each.bath
            for each in room.clinic.cycles.values()
            if each.bath and "contact_soak" not in each.done
        ]
        assert len(led) == len(set(led))


@in_every_clinic
def test_S21_a_bath_is_in_use_by_what_soaks_in_it_and_by_nothing_else(name: str) -> None:
    for room in walked(name).rooms:
        soaking = {each.id: each.bath for each in room.clinic.cycles.values() if each.contact}
        taken = {
            each.in_use_by: tag for tag, each in room.clinic.containers.items() if each.in_use_by
        }
        assert soaking == taken

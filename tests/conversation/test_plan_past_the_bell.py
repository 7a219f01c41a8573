"""S12: a plan whose bells wait for free hands says so."""

from tests.kit.plans import morning


def test_S12_a_day_that_keeps_bells_waiting_says_so() -> None:
    """Exams of 30 min, two probes, one person: 17 min, by hand in `test_planning`."""
    told = morning().sends("PLAN 3 probes 2 baths 2 exam 30")

    assert told[1] == (
        "By this plan a probe waits up to 17 min past its bell, for want of free hands. After 4 "
        "min I call others. Better: somebody free takes it out."
    )


def test_S12_nor_is_it_said_of_a_wait_before_others_are_called() -> None:
    assert "past its bell" not in " ".join(
        morning().sends("PLAN 3 probes 2 baths 2 people 2 exam 30")
    )

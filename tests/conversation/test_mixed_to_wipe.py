"""What handle and cable are wiped with where a disinfectant is mixed for each soak (S1, S5)."""

from datetime import timedelta

import pytest

from flows.parts.events import Mixed, StepDone
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def chlorine() -> Talk:
    return clinic(selection=CHLORINE)


def asked(step: str) -> Talk:
    talk = chlorine()
    play_cycle(talk, until=step)
    return talk


def test_S1_what_is_wiped_with_is_mixed_by_the_same_recipe_and_labelled() -> None:
    talk = asked("to_wipe")

    question = talk.last()
    recipe, vouched = talk.sends("5% 1 L", after=20)
    label, wipe = talk.sends("fresh", after=60)
    talk.sends("wet", after=60)

    assert question == (
        "To wipe with, mixed new each day: chlorine 0.1 %. J1: strength on its label, how many "
        "litres? Like 5% 1 L, or 70% POWDER 1 L."
    )
    assert "20 mL bleach 5 %, water to 1 L" in recipe
    assert vouched.startswith("Gloves, goggles, air. Bottle empty, washed, dry;")
    assert label.startswith("Write on it: M1-E 1 L chlorine 0.1 %, lot L77, mixed ")
    assert "to wipe, NOT to soak" in label
    assert wipe.startswith("V1: gloves on. Wipe handle and cable with chlorine 0.1 % from M1 on")
    assert [each.container for each in talk.happened(StepDone) if each.container] == ["M1"]


def test_S5_of_one_batch_all_probes_of_a_day_are_wiped_and_none_of_the_next() -> None:
    talk = chlorine()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)
    play_cycle(talk)
    same_day = len(talk.happened(Mixed))
    talk.now += timedelta(days=1)
    talk.sends("USED V1 0413", after=60)

    play_cycle(talk)

    assert same_day == 1
    wiped = [each.container for each in talk.happened(StepDone) if each.container]
    assert wiped == ["M1", "M1", "M2"]


@pytest.mark.parametrize(("percent", "is_used"), [("0.1", True), ("0.5", False)])
def test_S1_what_mix_made_to_wipe_with_is_used_and_nothing_stronger(
    percent: str, *, is_used: bool
) -> None:
    talk = chlorine()
    talk.sends(f"MIX {percent}% 1 L 5%", after=20)
    talk.sends("MIXED L1", after=60)

    play_cycle(talk, until="wipe_disinfectant" if is_used else "to_wipe")

    assert step_of(talk) == ("wipe_disinfectant" if is_used else "to_wipe")


def test_S8_what_is_not_all_so_is_not_wiped_with() -> None:
    talk = asked("to_wipe_mixed")

    thrown_away, again = talk.sends("unsure", after=60)

    assert thrown_away.startswith("Then that mixture is not for use")
    assert again.startswith("To wipe with, mixed new each day")
    assert talk.happened(Mixed) == []


def test_a_batch_that_a_colleague_has_mixed_meanwhile_is_wiped_with() -> None:
    talk = asked("to_wipe")
    talk.sends("MIX 0.1% 1 L 5%", phone="ph2", after=20)
    talk.sends("MIXED L1", phone="ph2", after=60)

    (wipe,) = talk.sends("later", after=20)

    assert "from M1" in wipe


@pytest.mark.parametrize("step", ["to_wipe", "to_wipe_mixed"])
@pytest.mark.parametrize(
    ("body", "answer"),
    [
        ("MIX 0.1% 1 L 4%", "4% 1 L"),
        ("MIX 0.1% 2 L 70% powder", "70% POWDER 2 L"),
        ("MIX 0.1% FROM 20 ml 4%", "4% 800 mL"),
        *(("MIX 5% 1 L", "5% 1 L"), ("MIX 70% powder 2 L", "70% POWDER 2 L")),
    ],
)
def test_S1_what_mix_would_leave_off_the_record_is_an_answer_to_the_question(
    step: str, body: str, answer: str
) -> None:
    talk = asked(step)

    (said,) = talk.sends(body, after=20)
    talk.sends(answer, after=20)
    talk.sends("fresh", after=60)

    assert said == (
        "That chlorine is asked for already, and goes on the record there. Please answer that "
        f"without MIX, like {answer}."
    )
    assert len(talk.happened(Mixed)) == 1
    assert step_of(talk) == "wipe_disinfectant"


def test_what_is_for_no_probe_is_mixed_beside_the_question_as_ever() -> None:
    (recipe, label) = asked("to_wipe").sends("MIX 0.5% 1 L 5%", after=20)

    assert "100 mL bleach 5 %, water to 1 L" in recipe
    assert "NOT for a probe" in label


def test_so_it_is_where_ones_own_was_not_all_so() -> None:
    talk = asked("to_wipe_mixed")
    talk.sends("MIX 0.1% 1 L 5%", phone="ph2", after=20)
    talk.sends("MIXED L1", phone="ph2", after=60)

    *_, wipe = talk.sends("unsure", after=20)

    assert "from M1" in wipe

"""S6: TOPPED where nobody pours is never only asked back: what may be it is held till then."""

import pytest

from flows.parts.clinic import Fitness, Level, Standing
from flows.parts.events import ContainerCondemned, ContainerHeld, Poured
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import passes
from tests.kit.talk import Talk, clinic

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")
WHICH = (
    "Which tub or bottle was topped up: B1, T1? Text its tag; no tag on it: NONE. Until I know, "
    "use none of them."
)


def fitness(talk: Talk) -> dict[str, str]:
    return {each.tag: each.fitness.value for each in talk.clinic.containers.values()}


def condemned(talk: Talk) -> list[str]:
    return [each.tag for each in talk.happened(ContainerCondemned)]


@pytest.mark.parametrize("body", ["TOPPED", "sorry TOPPED", "we topped it up", "TOPPED T9"])
def test_S6_without_its_tag_all_that_may_be_it_is_on_hold(body: str) -> None:
    """Forgotten, the probe came out READY."""
    talk = clinic()

    (asked,) = [each for each in talk.sends(body) if "Which" in each]

    assert asked == WHICH
    assert fitness(talk) == {"J1": "good", "B1": "held", "T1": "held"}
    assert (
        "T1: ON HOLD until a strip of its own passes: TEST T1. Until then not for use."
        in (talk.heard["ph2"])
    )


@pytest.mark.parametrize("body", ["T1", "it was T1", "TOPPED T1", "tub T1"])
def test_S6_the_tag_is_the_answer_to_that_question(body: str) -> None:
    talk = clinic()
    talk.sends("TOPPED")

    heard = talk.sends(body, after=20)

    assert heard[0].startswith("T1 is not for use any more: throw it away, text DISCARD T1.")
    assert condemned(talk) == ["T1"]
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("body", ["T1 B1", "T9", "T1?", "IN T1 23", "hello", "TOPPED"])
def test_S6_what_is_no_tag_of_one_thing_here_gets_the_question_again(body: str) -> None:
    talk = clinic()
    talk.sends("TOPPED")
    held = len(talk.happened(ContainerHeld))

    talk.sends(body, after=20)

    assert (condemned(talk), len(talk.happened(ContainerHeld))) == ([], held)
    (thread,) = talk.clinic.threads.values()
    assert thread.top.step == "topped_which"


def test_S6_one_that_had_no_tag_leaves_all_on_hold_until_their_strips_pass() -> None:
    talk = clinic()
    talk.sends("TOPPED")

    heard = talk.sends("NONE", after=20)
    passes(talk, "T1")

    assert [each[:11] for each in heard] == ["B1: ON HOLD", "T1: ON HOLD"]
    assert fitness(talk) == {"J1": "good", "B1": "held", "T1": "good"}


def test_S6_S8_in_a_soak_its_bath_is_named_first_and_the_soak_counts_no_more() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    heard = talk.sends("TOPPED", after=60)

    assert any(each.startswith("Which tub or bottle was topped up: T1, B1?") for each in heard)
    assert any(each.startswith("V1: its bath may have been topped up") for each in heard)
    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED
    talk.sends("T1", after=20)
    assert condemned(talk) == ["T1"]
    assert step_of(talk) == "wipe_detergent"


def test_S10_the_double_of_an_answer_to_a_pour_holds_nothing_more() -> None:
    talk = clinic()
    talk.sends("POUR")
    talk.sends("TOPPED", after=60)
    again = talk.sends("TOPPED", after=5)
    talk.sends("T1", after=20)
    talk.sends("LATER", after=20)

    heard = talk.sends("TOPPED", after=5)

    assert again == ["Which tag was on what you topped up? It may be T1; NONE if it had no tag."]
    assert heard[0].startswith("Which tub or bottle was topped up: B1?")
    assert talk.clinic.containers["B1"].fitness is Fitness.GOOD


def test_S6_where_no_tub_and_no_bottle_stands_nothing_is_asked() -> None:
    talk = clinic(stocked=False)

    (said,) = talk.sends("TOPPED")

    assert said.startswith("No tub and no bottle is noted here, so nothing is noted.")
    assert talk.clinic.threads == {}


def test_S6_thrown_away_meanwhile_it_is_asked_no_more() -> None:
    talk = clinic()
    talk.sends("TOPPED")
    talk.sends("DISCARD T1 B1", after=20)

    talk.sends("hm", after=20)

    assert talk.clinic.threads == {}


@pytest.mark.parametrize(("body", "tag"), [("TOPPED J1", "J1"), ("M1 was TOPPED up", "M1")])
def test_S6_a_jug_or_a_batch_that_is_named_is_not_for_use_either(body: str, tag: str) -> None:
    """Asked which tub or bottle it was, it stayed in use."""
    talk = clinic()
    talk.sends("MIX 2 L")
    talk.sends("MIXED L3", after=60)

    heard = talk.sends(body, after=20)

    assert heard[0].startswith(f"{tag} is not for use any more: throw it away")
    assert condemned(talk)[0] == tag


# -- just after FILLED --------------------------------------------------------------------------


def filled() -> Talk:
    """The bottle is noted, and the tub is asked about."""
    talk = clinic(stocked=False)
    for body in ("OPEN", "270331", "L77", "POUR"):
        talk.sends(body, after=20)
    talk.sends("FILLED", after=60)
    return talk


def test_S6_S10_just_after_FILLED_it_is_asked_whether_it_is_of_the_bottle() -> None:
    """Noted of a tub that nobody had poured, it left the topped-up bottle in use."""
    talk = filled()
    poured = len(talk.happened(Poured))

    (asked,) = talk.sends("TOPPED", after=20)

    assert asked == (
        "Was anything still in the bottle, B1, or in the tub? For the bottle reply TOPPED B1, for "
        "the tub TOPPED TUB. Nothing is noted yet."
    )
    assert (condemned(talk), len(talk.happened(Poured))) == ([], poured)


def test_S6_of_the_bottle_the_bottle_is_not_for_use() -> None:
    talk = filled()
    talk.sends("TOPPED", after=20)

    talk.sends("TOPPED B1", after=20)

    assert condemned(talk) == ["B1"]


@pytest.mark.parametrize(
    ("body", "after"), [("TOPPED TUB", 20), ("topped the bath", 20), ("TOPPED", 121)]
)
def test_S6_of_the_tub_or_later_the_mixture_is_not_for_use(body: str, after: int) -> None:
    talk = filled()

    heard = talk.sends(body, after=after)

    assert condemned(talk) == ["T1"]
    assert heard[0].startswith("Then that mixture, T1, is not for use")


def test_S6_what_another_phone_has_filled_is_not_taken_back() -> None:
    talk = filled()
    talk.sends("POUR", phone="ph2")

    talk.sends("TOPPED", phone="ph2", after=20)

    assert condemned(talk) == ["T1"]


def test_S6_whoever_is_about_to_put_a_probe_in_it_is_led_to_another_bath() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    talk.sends("TOPPED T1", after=20)

    assert step_of(talk) == "fill"


def test_S6_what_handle_and_cable_are_wiped_with_is_led_on_once() -> None:
    """Led on for its date and for itself, the conversation was lost."""
    talk = clinic(level=Level.BRIEF, stocked=False, selection=CHLORINE)
    play_cycle(talk, until="under")

    talk.sends("TOPPED M1", after=20)

    assert step_of(talk) == "to_wipe"


def test_S6_STATE_says_of_what_was_poured_from_it_why_it_is_not_for_use() -> None:
    """The bottle was topped up, not the bath; and that is why it is over."""
    talk = clinic()
    talk.sends("TOPPED B1")

    life, use = talk.sends("STATE T1", after=20)[-2:]

    assert life.endswith(": its source was topped up.")
    assert use.startswith("T1: NOT FOR USE: its source was topped up.")


def test_S6_where_nothing_stands_here_any_more_another_word_is_answered() -> None:
    talk = clinic()
    talk.sends("TOPPED")
    talk.sends("DISCARD T1 B1", phone="ph2", after=20)

    (heard,) = talk.sends("hm", after=20)

    assert heard.startswith("No tub and no bottle is noted here, so nothing is noted.")
    assert talk.clinic.threads == {}

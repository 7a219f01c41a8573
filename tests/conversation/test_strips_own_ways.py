"""A strip is dipped, handled and read as its own file says, and in its own colours (S4)."""

from dataclasses import replace
from datetime import timedelta

import pytest

from bot.texts.segments import segments
from flows.parts.clinic import Level, Standing
from flows.parts.events import ContainerCondemned, Immersed, Nudged, StripRead, TakenOut
from flows.protocols import shipped
from flows.protocols.model import Selection
from flows.strip_test.words import COLOURS, HANDLING
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import outcomes
from tests.kit.talk import Talk, clinic

PEROXIDE = Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic")


def peroxide(level: Level = Level.COACH) -> Talk:
    return clinic(level=level, selection=PEROXIDE)


def with_strip(**changed: object) -> Talk:
    """OPA with another strip; what is changed is invented."""
    talk = clinic()
    talk.protocol = replace(talk.protocol, strip=replace(talk.protocol.strip, **changed))  # type: ignore[arg-type]
    return talk


def asked(talk: Talk, step: str) -> str:
    play_cycle(talk, until=step)
    return talk.last()


# -- a strip that is drained upright, covered, and read late ------------------------------------


@pytest.mark.parametrize("level", list(Level))
def test_S1_a_whole_cycle_in_peroxide_by_its_published_figures(level: Level) -> None:
    """30 min at 20 C. Source: CDC/HICPAC 2008, Table 4."""
    talk = peroxide(level)

    play_cycle(talk)

    (into,), (out,) = talk.happened(Immersed), talk.happened(TakenOut)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert out.lasted >= timedelta(minutes=30)
    assert into.celsius >= 20


def test_it_is_drained_covered_and_read_a_quarter_of_an_hour_later() -> None:
    """Upright 5 s to drain, covered, read 15 min after immersion; completely brown or black
    passes, a white area fails. Source: FDA 510(k) K972035, 1997.
    """
    talk = peroxide()

    dip, read = asked(talk, "dip"), asked(talk, "read")

    assert dip == (
        "Dry hands. Dip a strip in T1 for 1 s, no stirring. Reply DIP T1 as you lift it out. "
        "Drain it upright 5 s, pad up; then cover it."
    )
    assert read == (
        "T1: read the strip after 15 min by your watch. 1 all dark, 2 white or patchy, 3 not sure."
    )


@pytest.mark.parametrize(
    ("after", "outcome"),
    [
        (timedelta(seconds=95), ("no_result", "early")),
        (timedelta(minutes=14, seconds=59), ("no_result", "early")),
        (timedelta(minutes=15), ("pass", "")),
        (timedelta(minutes=15, seconds=31), ("pass", "")),
        (timedelta(minutes=15, seconds=32), ("no_result", "late")),
    ],
)
def test_S4_it_is_no_result_before_its_own_time_or_after_it(
    after: timedelta, outcome: tuple[str, str]
) -> None:
    """Source: FDA 510(k) K972035, 1997; within 30 s: common practice, none published."""
    talk = peroxide()
    play_cycle(talk, until="read")

    talk.sends("1", after=after.total_seconds())

    assert outcomes(talk) == [outcome]


def test_nobody_is_nudged_for_a_colour_that_is_not_there_yet() -> None:
    talk = peroxide()
    play_cycle(talk, until="read")
    talk.wait(minutes=2.5)  # the detergent's bell has rung
    heard = len(talk.heard["ph1"])

    talk.wait(minutes=12.4)
    meanwhile = talk.heard["ph1"][heard:]
    talk.wait(minutes=0.2)

    assert meanwhile == []
    assert talk.last().startswith("Strip from T1: reply 1 all dark")
    assert talk.happened(Nudged) == []


def test_after_it_somebody_is_nudged_as_ever() -> None:
    talk = peroxide()
    play_cycle(talk, until="read")

    talk.wait(minutes=21)

    assert [event.stage for event in talk.happened(Nudged)] == [1]


# -- three strips -------------------------------------------------------------------------------


def test_S4_three_strips_are_asked_for_where_the_product_needs_three() -> None:
    """Three for each test of one product. Source: FDA 510(k) K960513, 1997. Colours invented."""
    talk = with_strip(strips_per_test=3, pass_colour="black", fail_colour="grey")  # noqa: S106

    dip, read = asked(talk, "dip"), asked(talk, "read")
    again = talk.sends("hm", after=95)[-1]

    assert dip.startswith("Dry hands. Dip 3 strips in T1 for 1 s, no stirring, lay them flat.")
    assert read == (
        "T1: read all 3 strips after 90 s by your watch. 1 black on each, 2 grey or patchy on "
        "any, 3 not sure."
    )
    assert again == (
        "3 strips from T1: reply 1 black on each, 2 grey or patchy on any, 3 not sure."
    )


def test_S4_of_three_strips_without_a_result_three_new_ones_are_allowed() -> None:
    talk = with_strip(strips_per_test=3)
    play_cycle(talk, until="read")

    said = talk.sends("1", after=5)

    assert said[0] == (
        "No result: read too early. One new test of 3 strips is allowed, timed by your watch."
    )
    assert step_of(talk) == "dip"


def test_S4_three_strips_of_a_bottle_that_is_not_good_any_more_are_not_read() -> None:
    talk = with_strip(strips_per_test=3)
    play_cycle(talk, until="dip")
    talk.let(ContainerCondemned("S1", "strips_recalled"))

    said = talk.sends("DIP", after=20)

    assert said[0] == (
        "Do not read those strips: their bottle may be one that is not for use any more. Take 3 "
        "of a good bottle; no test is lost."
    )
    assert step_of(talk) == "strips"


def test_S4_three_strips_that_are_not_laid_flat_are_handled_each() -> None:
    talk = with_strip(strips_per_test=3, handling="Shake it dry.")

    assert asked(talk, "dip") == (
        "Dry hands. Dip 3 strips in T1 for 1 s, no stirring. Lifted out: reply DIP T1. "
        "Each: Shake it dry."
    )


# -- words --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(shipped().strips))
def test_what_a_shipped_strip_is_told_by_can_be_translated(name: str) -> None:
    strip = shipped().strips[name]

    assert {strip.pass_colour, strip.fail_colour} <= COLOURS.keys()
    assert strip.handling is None or strip.handling in HANDLING
    assert all(text.english == key for key, text in {**COLOURS, **HANDLING}.items())


@pytest.mark.parametrize("strips", [1, 3])
def test_a_sites_own_strip_keeps_its_own_words_and_one_segment(strips: int) -> None:
    """The longest that a file may hold, of the widest letters."""
    talk = with_strip(
        strips_per_test=strips,
        handling="w" * 45,
        pass_colour="p" * 24,
        fail_colour="f" * 24,
        dip_for=timedelta(seconds=119),
        read_after=timedelta(minutes=14, seconds=59),
    )

    texts = [asked(talk, "dip"), asked(talk, "read"), talk.sends("hm", after=5)[-1]]

    assert ["w" * 45 in texts[0], "p" * 24 in texts[1], "f" * 24 in texts[2]] == [True] * 3
    assert [segments(text).count for text in texts] == [1, 1, 1]


def test_no_text_speaks_of_purple_to_somebody_whose_strip_is_not() -> None:
    talk = peroxide()

    play_cycle(talk)

    assert [event.outcome for event in talk.happened(StripRead)] == ["pass"]
    assert not [text for text in talk.heard["ph1"] if "purple" in text or "blue" in text]

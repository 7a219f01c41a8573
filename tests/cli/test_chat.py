"""A phone in the terminal: what it shows, how its clock moves, and that it can be had again."""

import re
from pathlib import Path

import pytest

from bot.texts.segments import segments
from tests.cli.replay import TRANSCRIPTS, chat, replayed, typed

FIXED = ("--seed", "1", "--start", "2026-03-02 09:00")


@pytest.mark.parametrize("path", TRANSCRIPTS, ids=lambda path: path.stem)
def test_a_transcript_goes_today_as_it_is_written(path: Path) -> None:
    transcript = path.read_text(encoding="utf-8")

    assert replayed(transcript) == transcript, (
        "read what has changed, then: python -m tests.cli.replay"
    )


def test_the_transcripts_are_a_coached_cycle_with_three_slips_and_a_brief_one() -> None:
    coached, brief = (
        next(path for path in TRANSCRIPTS if path.stem == stem).read_text(encoding="utf-8")
        for stem in ("coached_three_slips", "brief")
    )

    assert "19.5 C: the limit is 20 C" in coached
    assert "10 min 50 s too early" in coached
    assert "Did you mean OUT?" in coached
    assert "V1 READY until 17:00" in coached
    assert "V1 READY until 17:00" in brief
    assert len(list(typed(brief))) < len(list(typed(coached)))


def test_equal_seeds_draw_equal_numbers_and_others_draw_others() -> None:
    brief = next(path for path in TRANSCRIPTS if path.stem == "brief")
    lines = list(typed(brief.read_text(encoding="utf-8")))[:9]

    first, again, other = (
        chat(lines, "--brief", "--seed", seed, *FIXED[2:]).stdout for seed in ("1", "1", "2")
    )

    assert first == again
    assert first != other


def test_time_passes_before_each_text_and_by_hand() -> None:
    done = chat(["STATE", "@+12m", "STATE", "@+90s", "@+1h", "STATE"], *FIXED, "--pace", "10")

    asked = [line for line in done.stdout.splitlines() if " > " in line]
    assert asked == ["09:00:10 > STATE", "09:12:20 > STATE", "10:14:00 > STATE"]


def test_a_bell_on_the_way_rings_at_its_own_moment() -> None:
    """A question that nobody answers is put again after ten minutes."""
    done = chat(["CLEAN V1", "@+30m"], *FIXED)

    heard = [line for line in done.stdout.splitlines() if line.startswith("09:10:10 < ")]
    assert heard == ["09:10:10 < Gloves, goggles and gown on, air moving? Reply READY."]


def test_to_the_next_bell_is_no_further_than_that() -> None:
    done = chat(["CLEAN V1", "@bell", "MENU"], *FIXED)

    assert "09:10:20 > MENU" in done.stdout.splitlines()


def test_where_nothing_is_in_hand_the_next_bell_is_the_morning_text() -> None:
    done = chat(["@bell"], *FIXED)

    assert re.search(r"07:3\d:\d\d < Good morning. In date:", done.stdout)


def test_S7_a_text_for_another_phone_is_shown_when_that_is_picked_up() -> None:
    done = chat(["USED V1 0412", "@who 9"], *FIXED)

    hum, picked_up = "(Elmar got a text: @who 9)", "-- The phone of Elmar (supervisor, coach)"
    assert done.stdout.index(hum) < done.stdout.index(picked_up)
    assert "V1" in done.stdout[done.stdout.index(picked_up) :]


def test_S14_a_shared_phone_tells_how_to_sign_in_and_lets_one_in() -> None:
    done = chat(["@who 3", "3 3141"], *FIXED)

    assert "It is shared. Who holds it texts number and PIN: 3 3141 or 4 2718" in done.stdout
    assert "Hello Chalo." in done.stdout


def test_who_lists_everybody_and_whose_phone_is_in_hand() -> None:
    done = chat(["@who"], *FIXED)

    listed = [line for line in done.stdout.splitlines() if line.startswith("  ")]
    assert len(listed) == 5
    assert [line for line in listed if line.endswith(", in hand")] == [
        "  1  Adira, worker, +12025550101, in hand"
    ]


def test_count_adds_septets_and_segments_and_their_sums() -> None:
    done = chat(["STATE", "MENU"], *FIXED, "--count")

    assert "09:00:10 > STATE [5/1]" in done.stdout
    assert done.stdout.splitlines()[-2] == "Typed: 2 texts, 9 septets, 2 segments."
    whole = " ".join(done.stdout.split())
    heard = re.findall(r" < (.*?) \[\d+/1\]", whole)
    septets = sum(segments(body).septets for body in heard)
    assert done.stdout.splitlines()[-1] == f"Heard: 3 texts, {septets} septets, 3 segments."


@pytest.mark.parametrize("line", ["@", "@+5", "@back", "@who 7"])
def test_in_a_script_an_at_that_is_none_ends_it_with_the_reason(line: str) -> None:
    done = chat([line], *FIXED)

    assert done.exit_code == 2
    assert len(done.stderr.splitlines()) == 1


def test_lines_that_begin_with_a_number_sign_are_left_out() -> None:
    done = chat(["# a note", "", "STATE"], *FIXED)

    assert done.stdout.count(" > ") == 1


def test_without_a_start_the_clinic_opens_at_nine() -> None:
    done = chat(["STATE"])

    assert "09:00:10 > STATE" in done.stdout.splitlines()


def test_nothing_is_left_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    chat(["STATE"], *FIXED)

    assert list(tmp_path.iterdir()) == []

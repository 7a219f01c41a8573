"""FLOWS.md is what `python -m flows` prints, and its pictures are whole and well formed."""

import re
from contextlib import redirect_stdout
from functools import cache
from io import StringIO
from runpy import run_module

import pytest

from flows.catalogue import FLOWS
from flows.cycle import CYCLE
from flows.draw import END, OPENED, Arrow, graph_of, merged, mermaid, page
from tests.house.tree import ROOT

PASSED_OVER = {"cycle/bath", "cycle/bath_tested"}
"""Steps that lead elsewhere and are never asked."""

LINE = re.compile(r'  \w+(\["[^"]+"\]|\("[^"]+"\)|\(\("[^"]+"\)\)| -->\|"[^"|]+"\| \w+)')

pytestmark = pytest.mark.xdist_group("pictures")


@cache
def drawing() -> str:
    printed = StringIO()
    with redirect_stdout(printed):
        run_module("flows", run_name="__main__")
    return printed.getvalue()


def test_the_pictures_are_what_is_walked_today() -> None:
    kept = (ROOT / "flows" / "FLOWS.md").read_text(encoding="utf-8")

    assert kept == drawing(), "draw them again: python -m flows > flows/FLOWS.md"


def test_every_question_there_is_has_its_box() -> None:
    asked = {
        f"{name}_{step}"
        for name, flow in FLOWS.items()
        for step in flow.steps
        if f"{name}/{step}" not in PASSED_OVER
    }

    boxes = set(re.findall(r'^  (\w+)\["', drawing(), re.MULTILINE))

    assert boxes == asked


def test_every_line_of_a_picture_is_a_box_or_an_arrow() -> None:
    pictures = re.findall(r"```mermaid\nflowchart TD\n(.*?)```", drawing(), re.DOTALL)

    assert len(pictures) == len(FLOWS)
    strange = [line for each in pictures for line in each.splitlines() if not LINE.fullmatch(line)]
    assert strange == []


def test_what_leads_the_same_way_is_one_arrow() -> None:
    arrows = [Arrow("a/b", "a/c", "RED"), Arrow("a/b", "a/c", "BLUE"), Arrow("a/b", "a/c", "RED")]

    assert merged(arrows) == [Arrow("a/b", "a/c", "BLUE, RED")]


def test_a_picture_has_its_own_boxes_in_order_then_those_of_others() -> None:
    arrows = [
        Arrow("cycle/dry", "cycle/container", "DRY"),
        Arrow(OPENED, "cycle/codes", "CLEAN"),
        Arrow("cycle/under", "strip_test/dip", "UNDER"),
        Arrow("strip_test/dip", "strip_test/read", "DIP"),
        Arrow("cycle/cover", END, "COVERED"),
    ]

    graph = graph_of(CYCLE, arrows)

    assert graph.nodes == (
        "cycle/codes",
        "cycle/under",
        "cycle/dry",
        "cycle/container",
        "cycle/cover",
        "end",
        "opened",
        "strip_test/dip",
    )
    assert [arrow.start for arrow in graph.arrows] == [
        "cycle/under",
        "cycle/dry",
        "cycle/cover",
        "opened",
    ]


@pytest.mark.parametrize(
    ("node", "line"),
    [
        ("cycle/dry", '  cycle_dry["dry"]'),
        ("strip_test/dip", '  strip_test_dip("strip_test/dip")'),
        (END, '  _end(("end"))'),
    ],
)
def test_a_box_shows_whose_question_it_is(node: str, line: str) -> None:
    graph = graph_of(CYCLE, [Arrow("cycle/codes", node, "NONE"), Arrow(node, "cycle/codes", "X")])

    assert line in mermaid(graph).splitlines()


def test_a_page_has_a_heading_for_every_flow() -> None:
    assert re.findall(r"^## (\w+)$", page(FLOWS, []), re.MULTILINE) == list(FLOWS)

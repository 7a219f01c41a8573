"""The list of survivors says no more and no less than what survives."""

import pytest

from tests.bench.mutate.mutants import mutants_of
from tests.bench.mutate.survivors import LIST, Survivor, as_entry, listed, not_listed, outlived
from tests.house.tree import ROOT

ONE = Survivor("flows/rules/soak.py", "lasted", "return 1", "constant: 1 -> 2")
OTHER = Survivor("flows/rules/soak.py", "lasted", "return 1", "constant: 1 -> 0")


def test_who_survives_unlisted_is_told() -> None:
    told = not_listed([ONE, OTHER, OTHER], {ONE: "harmless"})

    assert told == [OTHER]


def test_who_is_listed_and_killed_is_told_once_its_module_was_tried() -> None:
    known = {ONE: "harmless", OTHER: "harmless"}

    assert outlived([ONE], known, ["flows/rules/soak.py"]) == [OTHER]
    assert outlived([ONE], known, ["flows/rules/strip.py"]) == []


def test_an_entry_is_read_back_as_it_was_printed() -> None:
    printed = as_entry(ONE).replace('why = ""', 'why = "harmless"')

    assert listed(printed) == {ONE: "harmless"}


def test_no_survivor_is_listed_without_why() -> None:
    with pytest.raises(ValueError, match="listed without why"):
        listed(as_entry(ONE))


def test_every_listed_line_still_stands_in_its_module() -> None:
    gone = [
        each.line
        for each in listed(LIST.read_text(encoding="utf-8"))
        if each.line not in (ROOT / each.module).read_text(encoding="utf-8")
    ]

    assert gone == []


def test_mutants_come_in_the_same_order_each_time() -> None:
    first, again = ([each.told for each in mutants_of("flows/rules/soak.py")] for _ in range(2))

    assert first == again
    assert len(first) > 100

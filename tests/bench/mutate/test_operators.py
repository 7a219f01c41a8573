"""What the bench breaks, and what it leaves whole."""

import ast

import pytest

from tests.bench.mutate.operators import OPERATORS


def instead_of(source: str) -> set[str]:
    """What might stand in the place of the one statement, or of a node in it, as written."""
    (node,) = ast.parse(source).body
    return {
        ast.unparse(other).splitlines()[0]
        for each in ast.walk(node)
        for operator in OPERATORS
        for other in operator(each)
    }


@pytest.mark.parametrize(
    ("source", "others"),
    [
        ("now < until", {"now <= until", "now >= until"}),
        ("a is None", {"a is not None"}),
        ("good and held", {"good or held", "good", "held"}),
        ("not wet", {"wet"}),
        ("early if bell else late", {"early", "late"}),
        ("timedelta(minutes=5)", {"6", "4", "timedelta()"}),
        ("Cause(critical=True)", {"False"}),
        ("'strip_failed'", {"'strip_failed_other'"}),
        ("out - began", {"out + began"}),
        ("min(ours, theirs)", {"max(ours, theirs)", "theirs", "ours"}),
        ("sorted(uses)", {"list(uses)"}),
        ("{good, held}", {"{held}", "{good}"}),
        ("return life", {"return None"}),
        ("missing += soak", {"pass"}),
        ("if lapsed: pass", {"if not lapsed:", "if False:"}),
    ],
)
def test_each_way_to_be_wrong_is_tried(source: str, others: set[str]) -> None:
    found = instead_of(source)

    assert others <= found


@pytest.mark.parametrize("source", ["'Put it in first.'", "return None", "day", "pass"])
def test_words_for_people_and_what_says_nothing_are_left_whole(source: str) -> None:
    found = instead_of(source)

    assert found <= {"pass"}

"""What each answer of the gateway means for the text it refused."""

import pytest

from bot.outbox.codes import CODES, Verdict, meaning_of, verdict_of


@pytest.mark.parametrize(
    ("code", "http_status", "verdict"),
    [
        # Safe to try again. Source: the gateway's page on error 20429.
        ("20429", 429, Verdict.PASSING),
        (None, 429, Verdict.PASSING),
        # A POST that sends a text is not idempotent. Source: the gateway's page on error 20500.
        ("20500", 500, Verdict.UNKNOWN),
        (None, 502, Verdict.UNKNOWN),
        # Source: the gateway's pages on errors 21211 and 21610.
        ("21211", 400, Verdict.FINAL),
        ("21610", 400, Verdict.OPTED_OUT),
        # In no table: the HTTP answer decides.
        ("29999", 400, Verdict.FINAL),
        ("29999", 503, Verdict.UNKNOWN),
    ],
)
def test_an_answer_is_judged(code: str | None, http_status: int, verdict: Verdict) -> None:
    assert verdict_of(code, http_status) == verdict


def test_only_an_opt_out_counts_as_one() -> None:
    opted_out = [code for code, row in CODES.items() if row.verdict is Verdict.OPTED_OUT]

    assert opted_out == ["21610"]


def test_every_code_says_what_it_means_and_where_that_is_written() -> None:
    silent = [code for code, row in CODES.items() if not (row.means and row.source)]

    assert silent == []
    assert meaning_of("39999") is None

"""The demo as a process: it opens, answers, ends when told to, and leaves nothing behind."""

import re
import signal
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

from tests.whole.demo import Demo, demo


def ask(demo: Demo, path: str = "/", **form: str) -> str:
    data = urllib.parse.urlencode(form).encode() if form else None
    request = urllib.request.Request(demo.url + path, data, {"Origin": demo.url})  # noqa: S310 - this machine
    with urllib.request.urlopen(request, timeout=20) as answer:  # noqa: S310
        return str(answer.read().decode())


def test_it_opens_says_where_and_is_gone_with_its_database_after_ctrl_c(tmp_path: Path) -> None:
    with demo(tmp_path) as opened:
        page = ask(opened)
        (database,) = re.findall(r"Its database: (\S+)", opened.said)
        stood = Path(database).is_file()
        code, last = opened.ends()

    assert "demo: Velmara Bend</span>" in page
    assert opened.said.startswith("Soakbell demo: Velmara Bend, an invented clinic.")
    assert f"Open {opened.url} in a browser" in opened.said
    assert "soakbell chat" in opened.said
    assert stood
    assert (code, last) == (0, "\nThe demo has ended.\n")
    assert list(tmp_path.iterdir()) == []


def test_it_also_ends_when_it_is_asked_to_go(tmp_path: Path) -> None:
    with demo(tmp_path) as opened:
        code, last = opened.ends(signal.SIGTERM)

    assert (code, last) == (0, "\nThe demo has ended.\n")


def test_a_kept_one_goes_on_where_it_was_left(tmp_path: Path) -> None:
    kept = str(tmp_path / "kept")
    with demo(tmp_path, "--keep", kept) as first:
        ask(first, "/text", phone="1", body="CLEAN V1")
        ask(first, "/clock", phone="1", step="bell")
        began = ask(first, "/record")
        first.ends()

    with demo(tmp_path, "--keep", kept) as second:
        later = ask(second, "/record")
        page = ask(second)
        second.ends()

    assert "cleaning of V1 began" in began
    assert later.startswith(began.rstrip())
    (hour, minute) = re.findall(r"<time [^>]*>(\d\d):(\d\d):\d\d<", page)[0]
    assert (hour, minute) >= ("09", "10")


def test_a_port_that_is_taken_is_one_line_and_a_code(tmp_path: Path) -> None:
    with demo(tmp_path) as first:
        port = first.url.rpartition(":")[2]
        with (
            pytest.raises(AssertionError, match=r"Error: OSError: .*Address already in use"),
            demo(tmp_path, "--port", port),
        ):
            pass
        first.ends()

"""What went wrong is one line, and never a look inside."""

from dataclasses import replace

import pytest

from bot.store.errors import StoreBusy
from bot.web import create_app
from tests.kit.gateway import TOKEN
from tests.kit.signing import signed
from tests.web.clinic import INBOUND, PUBLIC, WEBHOOKS, Clinic, text


class Busy:
    def text(self, _: object) -> None:
        raise StoreBusy("north", 5)


@pytest.fixture
def busy(door: Clinic) -> Clinic:
    bot = replace(door.bot, exchange=Busy())  # type: ignore[arg-type]
    door.web = create_app(bot, WEBHOOKS).test_client()
    return door


def test_a_text_that_could_not_be_taken_is_not_called_taken(busy: Clinic) -> None:
    """The gateway then tries its fallback, and we ask it for what we missed."""
    answer = busy.knocks(text())

    assert answer.status_code == 500
    assert busy.taken_in() == []


def test_a_failure_shows_nothing_of_the_inside(
    busy: Clinic, caplog: pytest.LogCaptureFixture
) -> None:
    answer = busy.knocks(text())

    assert answer.get_data(as_text=True).count("\n") == 1
    assert b"StoreBusy" not in answer.data
    assert "StoreBusy" in caplog.text


@pytest.mark.parametrize(
    ("path", "headers", "code", "word"),
    [
        ("/nowhere", {}, 404, "nothing"),
        (INBOUND, {}, 403, "SOAKBELL_PUBLIC_URL"),
        (INBOUND, signed(TOKEN, PUBLIC + INBOUND, {}), 400, "MessageSid"),
    ],
)
def test_a_refusal_says_what_and_what_to_do(
    door: Clinic, path: str, headers: dict[str, str], code: int, word: str
) -> None:
    answer = door.web.post(path, headers=headers)

    assert answer.status_code == code
    assert answer.mimetype == "text/plain"
    assert word in answer.get_data(as_text=True)

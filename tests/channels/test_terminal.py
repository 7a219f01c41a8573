"""A phone that is a line of the terminal."""

from datetime import timedelta

from bot.channels.terminal import Terminal


def test_each_text_is_shown_with_the_number_it_went_to() -> None:
    shown: list[tuple[str, str]] = []
    terminal = Terminal(lambda number, body: shown.append((number, body)))

    terminal.send("+15550000001", "Wash it.", "1.ab", timedelta(minutes=5))

    assert shown == [("+15550000001", "Wash it.")]

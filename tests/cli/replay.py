"""Transcripts of chat, replayed: `python -m tests.cli.replay` writes them anew, to be read."""

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner, Result

from bot.cli import main

TRANSCRIPTS = sorted((Path(__file__).parent / "transcripts").glob("*.txt"))

_BEARS = re.compile(r"(IN|OUT|OTU|RINSED) ([6-9]\d)\b(?!\.\d)")
_TYPED = re.compile(r"\d\d:\d\d:\d\d > (.+)")


def typed(transcript: str) -> Iterator[str]:
    """What was typed in a transcript: texts, and the lines that move the clock."""
    for line in transcript.splitlines():
        text = _TYPED.fullmatch(line)
        if text or line.startswith("@"):
            yield text[1] if text else line


def chat(lines: list[str], *options: str) -> Result:
    return CliRunner().invoke(main, ["chat", *options], input="\n".join(lines))


def replayed(transcript: str) -> str:
    """The same command with the same lines, as it goes today. The first line is the command."""
    return _played(transcript, list(typed(transcript)))


def renewed(transcript: str) -> str:
    """The same, but where an answer bore the number that had been asked for, it does so again."""
    lines: list[str] = []
    for line in typed(transcript):
        bears = _BEARS.match(line)
        number = _last_asked(_played(transcript, lines), bears[1]) if bears else ""
        lines.append(line.replace(bears[2], number, 1) if bears else line)
    return _played(transcript, lines)


def _played(transcript: str, lines: list[str]) -> str:
    command, _, _ = transcript.partition("\n")
    program, *rest = shlex.split(command.removeprefix("$ "))
    if (program, rest[0]) != ("soakbell", "chat"):
        raise ValueError(f"A transcript begins with its command, not with {command}.")
    done = chat(lines, *rest[1:])
    if done.exit_code:
        raise ValueError(f"{command}: {done.output}")
    return f"{command}\n{done.stdout}"


def _last_asked(transcript: str, word: str) -> str:
    """The number that was last asked for with a word, or with the word this one was meant for."""
    meant = {"OTU": "OUT"}.get(word, word)
    return re.findall(rf"\b{meant} (\d\d)\b(?!\.\d)", " ".join(transcript.split()))[-1]


if __name__ == "__main__":
    for path in TRANSCRIPTS:
        path.write_text(renewed(path.read_text(encoding="utf-8")), encoding="utf-8")

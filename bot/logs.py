"""The log: a line for what went wrong and where in the code; nobody's words, names or numbers.

A failure is told by its kind and its place. Its words are left out, for they may hold what
somebody typed; only those of `Plain` are ours, and are told.
"""

import logging
import re
import sys
import time
from collections.abc import Iterator
from types import TracebackType

OURS = ("bot", "flows")
PLACES = 4
"""Places in the code that are named, the innermost first."""

_NUMBER = re.compile(r"(?:\+|%2B)\d{7,15}")
"""A phone's. Source: ITU-T E.164; the least length is common practice, none published."""

QUIET = ("apscheduler", "sqlalchemy", "twilio", "urllib3", "werkzeug")
"""Libraries that tell every request, with what is in it, to whoever lets them."""


class Plain(Exception):
    """What went wrong, in words that hold nothing of anybody: they may stand in a log."""


class OneLine(logging.Formatter):
    """When, how bad, where from, what; never a traceback, and no number that others might add."""

    converter = staticmethod(time.gmtime)
    default_msec_format = ""
    default_time_format = "%Y-%m-%dT%H:%M:%SZ"

    def format(self, record: logging.LogRecord) -> str:
        told = f"{self.formatTime(record)} {record.levelname} {record.name} {record.getMessage()}"
        error = record.exc_info[1] if record.exc_info else None
        whole = f"{told} {wrong(error)}" if error else told
        return _NUMBER.sub("(number)", " ".join(whole.split()))


def set_up() -> None:
    """Let this process log to standard error, a line at a time."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(OneLine())
    logging.basicConfig(handlers=[handler], level=logging.WARNING)
    for library in QUIET:
        logging.getLogger(library).setLevel(logging.ERROR)


def wrong(error: BaseException) -> str:
    """An error in a line: its kind, its place in our code, and its words where they are ours."""
    words = f' words="{error}"' if isinstance(error, Plain) else ""
    places = list(_places(error.__traceback__))[-PLACES:]
    return f"error={type(error).__name__}{words} at={','.join(reversed(places)) or 'unknown'}"


def _places(traceback: TracebackType | None) -> Iterator[str]:
    while traceback is not None:
        module = traceback.tb_frame.f_globals.get("__name__", "")
        if module.partition(".")[0] in OURS:
            yield f"{module}:{traceback.tb_lineno}"
        traceback = traceback.tb_next

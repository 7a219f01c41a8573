"""/healthz and metrics."""

from datetime import datetime, timedelta

from flask import Blueprint, Response, jsonify

from bot.store.errors import StoreAway
from bot.store.waiting import Waiting, waiting
from bot.wiring import Bot

TOO_LATE = timedelta(seconds=60)
"""A bell that is due this long and has not rung: whoever should ring it is stuck or gone.
Source: common practice, none published."""

NONE = timedelta(0)

FIELDS = ("database", "oldest_overdue_bell_seconds", "oldest_unsent_text_seconds")
AWAY = "away"
"""In place of which database it is; what waits there is then not known, and null."""


def health(bot: Bot) -> Blueprint:
    page = Blueprint("health", __name__)

    @page.get("/healthz")
    def healthz() -> tuple[Response, int]:
        """503 when a bell is overdue or the database is away, 500 when it is none of ours.

        A slow gateway is no illness.
        """
        try:
            now, found = bot.clock.now(), _look(bot)
        except StoreAway:
            return jsonify(dict.fromkeys(FIELDS) | {"database": AWAY}), 503
        overdue = since(found.bell_due_at, now)
        unsent = since(found.unsent_since, now)
        told = (bot.store.version, _seconds(overdue), _seconds(unsent))
        answer = jsonify(dict(zip(FIELDS, told, strict=True)))
        return answer, 503 if overdue > TOO_LATE else 200

    @page.get("/metrics")
    def metrics() -> Response:
        """The same as text, a line a figure, in the form that watching programs read."""
        return Response(_as_lines(_look(bot), bot.clock.now()), mimetype="text/plain")

    return page


def _look(bot: Bot) -> Waiting:
    with bot.store.read() as connection:
        return waiting(connection)


def since(moment: datetime | None, now: datetime) -> timedelta:
    """How long *moment* is past; nothing, where it is still to come or there is none."""
    return NONE if moment is None else max(now - moment, NONE)


def _as_lines(found: Waiting, now: datetime) -> str:
    figures = [
        ("soakbell_overdue_bell_seconds", _seconds(since(found.bell_due_at, now))),
        ("soakbell_unsent_text_seconds", _seconds(since(found.unsent_since, now))),
        *(
            (f'soakbell_outbox_texts{{state="{state}"}}', count)
            for state, count in sorted(found.texts.items())
        ),
    ]
    return "".join(f"{name} {figure}\n" for name, figure in figures)


def _seconds(span: timedelta) -> int:
    return int(span.total_seconds())
